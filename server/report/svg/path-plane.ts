/** The path of a colour in the a*b* plane, with the same scale along both, so that distances are to be compared. */

import { type Axis, roundStep, span, ticks } from './axis.ts';
import { ciede2000Contour } from './contour.ts';
import { labels } from './labels.ts';
import { axisName, cross, drawn, gridLine, type Kind, polyline, type Spot } from './marks.ts';
import { KINDS, type PathChart } from './path.ts';

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export function plane(chart: PathChart, frame: Frame): string[] {
  const { left, top, width, height } = frame;
  const { a, b, place } = scaled(chart, frame);
  const inPlane = (kind: Kind) =>
    chart.steps.flatMap(({ number, [kind]: lab }) => (lab ? [{ ...place(lab[1], lab[2]), number }] : []));
  const { standard } = chart;
  return [
    ...ticks(a).map(({ value, words }) => {
      const { x } = place(value, 0);
      return gridLine({ x, y: top + height }, { x, y: top }, words, 'below');
    }),
    ...ticks(b).map(({ value, words }) => {
      const { y } = place(0, value);
      return gridLine({ x: left, y }, { x: left + width, y }, words, 'left');
    }),
    axisName({ x: left + width / 2, y: top + height + 30 }, 'a*'),
    axisName({ x: left - 38, y: top + height / 2 }, 'b*'),
    ...(standard ? [allowed(standard, frame, place), cross(place(standard.lab[1], standard.lab[2]))] : []),
    ...KINDS.flatMap((kind) => drawn(kind, inPlane(kind))),
    ...numbers(KINDS.flatMap(inPlane)),
  ];
}

type Place = (a: number, b: number) => Spot;

/** The path fills the picture; what is allowed around the standard may reach beyond it. */
function scaled({ steps, standard }: PathChart, { left, top, width, height }: Frame) {
  const labs = [...steps.flatMap(({ measured, predicted }) => [measured, predicted]), standard?.lab].filter(
    (lab) => lab !== undefined,
  );
  const [a, b] = [span(labs.map((lab) => lab[1])), span(labs.map((lab) => lab[2]))];
  const scale = Math.min(width / (a.to - a.from), height / (b.to - b.from));
  const step = roundStep(width / scale / 6);
  const axis = (middle: number, length: number): Axis => ({
    from: middle - length / scale / 2,
    to: middle + length / scale / 2,
    step,
  });
  const [middleA, middleB] = [(a.from + a.to) / 2, (b.from + b.to) / 2];
  const place: Place = (p, q) => ({
    x: left + width / 2 + (p - middleA) * scale,
    y: top + height / 2 - (q - middleB) * scale,
  });
  return { a: axis(middleA, width), b: axis(middleB, height), place };
}

/** An inner picture, since that cuts off what reaches beyond it. */
function allowed(
  standard: NonNullable<PathChart['standard']>,
  { left, top, width, height }: Frame,
  place: Place,
): string {
  const edge = ciede2000Contour(standard.lab, standard.tolerance).map(([a, b]) => place(a, b));
  return `<svg x="${left}" y="${top}" width="${width}" height="${height}" viewBox="${left} ${top} ${width} ${height}"><path d="${polyline(edge)}Z" fill="none" stroke="currentColor" stroke-dasharray="1 3"/></svg>`;
}

interface Numbered extends Spot {
  readonly number: number;
}

/** Versions that stand at one place share a label. */
const NEAR = 6;

function numbers(all: readonly Numbered[]): string[] {
  const groups: { readonly x: number; readonly y: number; readonly numbers: Set<number> }[] = [];
  for (const { x, y, number } of all) {
    const near = groups.find((one) => Math.hypot(one.x - x, one.y - y) < NEAR);
    if (near) near.numbers.add(number);
    else groups.push({ x, y, numbers: new Set([number]) });
  }
  return labels(
    groups.map((group) => ({ ...group, text: runs([...group.numbers].sort((p, q) => p - q)) })),
    all,
  );
}

/** `1–3, 5`. */
function runs(all: readonly number[]): string {
  const parts: [number, number][] = [];
  for (const number of all) {
    const last = parts.at(-1);
    if (last && last[1] === number - 1) last[1] = number;
    else parts.push([number, number]);
  }
  return parts.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ');
}
