/** Labels beside the points of a chart, so that they cover neither each other nor a point where there is room. */
import { fixed } from './axis.ts';

export interface Label {
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Of an 11 px sans-serif letter, about. */
const LETTER = 6.2;
const HEIGHT = 11;
const AWAY = 8;

/** Eight places around a point, the customary one (above right) first. */
const SIDES: readonly (readonly [number, number])[] = [
  [1, -1],
  [-1, -1],
  [1, 1],
  [-1, 1],
  [0, -1],
  [0, 1],
  [1, 0],
  [-1, 0],
];

/** SVG of the labels; each takes the side on which it covers least. */
export function labels(all: readonly Label[], points: readonly { readonly x: number; readonly y: number }[]): string[] {
  const taken: Box[] = points.map(({ x, y }) => ({ left: x - 5, top: y - 5, right: x + 5, bottom: y + 5 }));
  return all.map((one) => {
    const [best] = SIDES.map((side) => boxAt(one, side))
      .map((box) => ({ box, covers: taken.reduce((sum, other) => sum + overlap(box, other), 0) }))
      .sort((a, b) => a.covers - b.covers);
    const { box } = best!;
    taken.push(box);
    return `<text x="${fixed(box.left)}" y="${fixed(box.bottom - 2)}">${one.text}</text>`;
  });
}

function boxAt({ x, y, text }: Label, [across, down]: readonly [number, number]): Box {
  const width = text.length * LETTER;
  const left = across === 0 ? x - width / 2 : across > 0 ? x + AWAY : x - AWAY - width;
  const top = down === 0 ? y - HEIGHT / 2 : down > 0 ? y + AWAY - 3 : y - AWAY + 3 - HEIGHT;
  return { left, top, right: left + width, bottom: top + HEIGHT };
}

const overlap = (a: Box, b: Box): number =>
  Math.max(0, Math.min(a.right, b.right) - Math.max(a.left, b.left)) *
  Math.max(0, Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top));
