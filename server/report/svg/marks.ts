/** What charts of colours draw: dots, the standard, grid lines and names of axes. All in `currentColor`, told apart by shape. */
import { fixed } from './axis.ts';

export interface Spot {
  readonly x: number;
  readonly y: number;
}

export type Kind = 'measured' | 'predicted';

/** Measured: full dots on a drawn line; predicted: open dots on a broken one. */
export function drawn(kind: Kind, all: readonly Spot[]): string[] {
  if (all.length === 0) return [];
  const dashes = kind === 'predicted' ? ' stroke-dasharray="5 4"' : '';
  return [
    `<path d="${polyline(all)}" fill="none" stroke="currentColor" stroke-width="1.3"${dashes}/>`,
    ...all.map(({ x, y }) => dot(kind, x, y)),
  ];
}

export const polyline = (all: readonly Spot[]): string =>
  all.map(({ x, y }, index) => `${index === 0 ? 'M' : 'L'}${fixed(x)} ${fixed(y)}`).join('');

const dot = (kind: Kind, x: number, y: number): string =>
  kind === 'measured'
    ? `<circle cx="${fixed(x)}" cy="${fixed(y)}" r="3.8"/>`
    : `<circle cx="${fixed(x)}" cy="${fixed(y)}" r="3.8" fill="none" stroke="currentColor" stroke-width="1.3"/>`;

/** The standard. */
export const cross = ({ x, y }: Spot): string =>
  `<path d="M${fixed(x - 6)} ${fixed(y)}H${fixed(x + 6)}M${fixed(x)} ${fixed(y - 6)}V${fixed(y + 6)}" stroke="currentColor" stroke-width="1.6"/>`;

export const dottedLine = (from: Spot, to: Spot): string =>
  `<path d="${polyline([from, to])}" stroke="currentColor" stroke-dasharray="1 3"/>`;

/** A line across the chart with its figure below or to the left of where it begins. */
export function gridLine(from: Spot, to: Spot, words: string, side: 'below' | 'left'): string {
  const [x, y, anchor] = side === 'below' ? [from.x, from.y + 15, 'middle'] : [from.x - 6, from.y + 4, 'end'];
  return `<path d="${polyline([from, to])}" stroke="currentColor" stroke-opacity="0.2"/><text x="${fixed(x)}" y="${fixed(y)}" text-anchor="${anchor}">${words}</text>`;
}

export const axisName = ({ x, y }: Spot, name: string): string =>
  `<text x="${fixed(x)}" y="${fixed(y)}" text-anchor="middle" font-style="italic">${name}</text>`;
