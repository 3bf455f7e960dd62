/** How well the takes of a reading repeat. */
import { type Angle, type Colours, centreOf, takesOf } from '../book/colours.ts';
import type { Measured } from '../book/entries/measured.ts';
import { repeatability } from '../colour/repeat.ts';
import type { Viewing } from '../colour/viewing.ts';
import { rounded } from './number.ts';

export interface Repeat {
  readonly takes: number;
  /** Mean difference of the takes from their mean (ASTM E2214); of the angle where it is largest. */
  readonly mcdm: { readonly dE00: number; readonly dE76: number } | null;
  readonly largest: { readonly dE00: number; readonly dE76: number } | null;
  /** The take that does not belong to the others: the one that is furthest out, where several angles have one. */
  readonly outlier: { readonly geometry: string; readonly take: number } | null;
  readonly geometry: string | null;
}

export interface TakeLeftOut {
  readonly take: number;
  /** Nothing: left out at every angle. */
  readonly geometry: string | null;
  readonly reason: string;
}

export function repeatOf(colours: Colours, viewing: Viewing): Repeat {
  const angles = colours.angles.flatMap((angle) => repeatAt(angle, viewing, colours.bandpass) ?? []);
  const takes = Math.max(0, ...colours.angles.map((angle) => takesOf(angle, viewing, colours.bandpass).length));
  const worst = angles.toSorted((a, b) => b.mcdm.dE00 - a.mcdm.dE00)[0];
  const out = angles.toSorted((a, b) => b.largest.dE00 - a.largest.dE00).find((angle) => angle.outlier !== undefined);
  return {
    takes,
    mcdm: worst ? figures(worst.mcdm) : null,
    largest: worst ? figures(worst.largest) : null,
    outlier: out ? { geometry: out.geometry, take: out.outlier! } : null,
    geometry: worst?.geometry ?? null,
  };
}

const figures = ({ dE00, dE76 }: { readonly dE00: number; readonly dE76: number }) => ({
  dE00: rounded(dE00, 5),
  dE76: rounded(dE76, 5),
});

export function repeatAt(angle: Angle, viewing: Viewing, bandpass: Colours['bandpass']) {
  const takes = takesOf(angle, viewing, bandpass);
  if (takes.length < 2) return undefined;
  const labs = takes.map((take) => take.lab);
  const result = repeatability(labs, centreOf(angle, viewing, bandpass));
  const outlier = result.outlier === undefined ? undefined : takes[result.outlier]!.take;
  return { geometry: angle.geometry, takes: takes.length, ...result, outlier };
}

export const takesLeftOut = ({ leftOut }: Measured): TakeLeftOut[] =>
  leftOut.map(({ take, geometry, reason }) => ({ take, geometry: geometry ?? null, reason }));
