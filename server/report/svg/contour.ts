/** Where the difference from a colour reaches a limit: how far a tolerance goes in each direction. */
import { difference } from '../../colour/difference.ts';
import type { Lab } from '../../colour/lab.ts';

const FULL_TURN = 72;

/** Points (a*, b*) around a colour at its own lightness, whose dE00 from it is the limit. */
export const ciede2000Contour = ([L, a, b]: Lab, limit: number): (readonly [number, number])[] =>
  Array.from({ length: FULL_TURN }, (_, i) => {
    const angle = (2 * Math.PI * i) / FULL_TURN;
    const [p, q] = [Math.cos(angle), Math.sin(angle)];
    const r = reach(limit, (r) => difference('dE00', [L, a, b], [L, a + r * p, b + r * q]));
    return [a + r * p, b + r * q] as const;
  });

/** The L* below and above a colour at which dE00 from it is the limit. */
export function lightnessBand([L, a, b]: Lab, limit: number): readonly [number, number] {
  const away = (side: number) => side * reach(limit, (r) => difference('dE00', [L, a, b], [L + side * r, a, b]));
  return [L + away(-1), L + away(1)];
}

/** How far one may go until a growing difference reaches the limit, by halving. */
function reach(limit: number, differenceAt: (r: number) => number): number {
  let [near, far] = [0, 1];
  while (differenceAt(far) < limit && far < 200) far *= 2;
  for (let i = 0; i < 40; i++) {
    const middle = (near + far) / 2;
    if (differenceAt(middle) < limit) near = middle;
    else far = middle;
  }
  return near;
}
