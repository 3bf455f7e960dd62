/**
 * The path of a colour from version to version: in the a*b* plane, and L* below it version by version. In black and white: measured colours
 * are full dots on a drawn line, predicted ones open dots on a broken line, the standard a cross with what is allowed around it.
 */
import type { Lab } from '../../colour/lab.ts';
import { escapeXml } from '../xml.ts';
import { fixed, roundStep, span, ticks } from './axis.ts';
import { lightnessBand } from './contour.ts';
import { axisName, cross, dottedLine, drawn, gridLine, type Kind } from './marks.ts';
import { type Frame, plane } from './path-plane.ts';

export interface ColourStep {
  /** As the versions are numbered beside the chart, from 1. */
  readonly number: number;
  readonly measured: Lab | undefined;
  readonly predicted: Lab | undefined;
}

export interface PathChart {
  readonly title: string;
  /** In the order of their numbers. */
  readonly steps: readonly ColourStep[];
  readonly standard: { readonly lab: Lab; readonly tolerance: number } | undefined;
}

/** In the order in which they are drawn, the measured on top. */
export const KINDS: readonly Kind[] = ['predicted', 'measured'];

const WIDTH = 640;
const LEFT = 56;
const RIGHT = 20;
const PLANE: Frame = { left: LEFT, top: 30, width: WIDTH - LEFT - RIGHT, height: 360 };
const STRIP: Frame = { left: LEFT, top: PLANE.top + PLANE.height + 52, width: PLANE.width, height: 150 };
const HEIGHT = STRIP.top + STRIP.height + 58;

/** SVG of its own colours by `currentColor`, so that it reads on light and dark paper alike. */
export function pathSvg(chart: PathChart): string {
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeXml(told(chart))}" font-family="sans-serif" font-size="11" fill="currentColor">`,
    `<text x="${LEFT}" y="16" font-size="13">${escapeXml(chart.title)}</text>`,
    ...plane(chart, PLANE),
    ...strip(chart, STRIP),
    ...legend(chart),
    '</svg>',
  ].join('');
}

const figures = (lab: Lab): string => `L* ${lab[0].toFixed(1)} a* ${lab[1].toFixed(1)} b* ${lab[2].toFixed(1)}`;

function told({ title, steps, standard }: PathChart): string {
  const one = (kind: Kind) => (step: ColourStep) => {
    const lab = step[kind];
    return lab ? [`${step.number} ${kind} ${figures(lab)}`] : [];
  };
  const marks = standard ? [`standard ${figures(standard.lab)}`] : [];
  return `${title}: ${[...KINDS.flatMap((kind) => steps.flatMap(one(kind))), ...marks].join('; ')}`;
}

/** Room for a number of two digits. */
const LEAST_APART = 26;

/** L* of each version beside the one before. */
function strip({ steps, standard }: PathChart, { left, top, width, height }: Frame): string[] {
  const band = standard ? lightnessBand(standard.lab, standard.tolerance) : [];
  const known = steps.flatMap(({ measured, predicted }) => [measured?.[0], predicted?.[0]]);
  const range = span([...known, ...band, standard?.lab[0]].filter((one) => one !== undefined));
  const y = (value: number) => top + height - ((value - range.from) / (range.to - range.from)) * height;
  const every = width / Math.max(1, steps.length);
  const x = (index: number) => left + every * (index + 0.5);
  const shown = Math.ceil(LEAST_APART / every);
  const across = (value: number) =>
    [
      { x: left, y: y(value) },
      { x: left + width, y: y(value) },
    ] as const;
  const spots = (kind: Kind) => steps.flatMap(({ [kind]: lab }, index) => (lab ? [{ x: x(index), y: y(lab[0]) }] : []));
  return [
    ...ticks({ ...range, step: roundStep((range.to - range.from) / 4) }).map(({ value, words }) =>
      gridLine(...across(value), words, 'left'),
    ),
    axisName({ x: left - 38, y: top + height / 2 }, 'L*'),
    axisName({ x: left + width / 2, y: top + height + 32 }, 'version, the oldest first'),
    ...steps.flatMap(({ number }, index) =>
      index % shown === 0
        ? [`<text x="${fixed(x(index))}" y="${top + height + 15}" text-anchor="middle">${number}</text>`]
        : [],
    ),
    ...band.map((value) => dottedLine(...across(value))),
    ...(standard ? [cross({ x: left + 8, y: y(standard.lab[0]) })] : []),
    ...KINDS.flatMap((kind) => drawn(kind, spots(kind))),
  ];
}

function legend({ steps, standard }: PathChart): string[] {
  const y = HEIGHT - 10;
  const kinds = KINDS.toReversed().filter((kind) => steps.some((step) => step[kind]));
  const entry = (kind: Kind, index: number) => {
    const x = LEFT + 110 * index;
    const sample = [
      { x, y },
      { x: x + 28, y },
    ];
    return [...drawn(kind, sample), `<text x="${x + 38}" y="${y + 4}">${kind}</text>`];
  };
  const x = LEFT + 110 * kinds.length;
  return [
    ...kinds.flatMap(entry),
    ...(standard
      ? [
          cross({ x: x + 6, y }),
          `<text x="${x + 18}" y="${y + 4}">standard, dotted: ${standard.tolerance.toFixed(1)} dE00 from it (in the plane at its L*)</text>`,
        ]
      : []),
  ];
}
