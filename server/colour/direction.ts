import { components } from './difference.ts';
import type { Geometry, Zone } from './geometry.ts';
import { zoneOf } from './geometry.ts';
import { chroma, type Lab, lchOfLab } from './lab.ts';

/** What painters say of a sample against its standard. */
export type DirectionWord = 'lighter' | 'darker' | 'redder' | 'greener' | 'yellower' | 'bluer' | 'cleaner' | 'dirtier';

export interface Direction {
  readonly word: DirectionWord;
  /** About how visible it is, in the units of CIEDE2000; never negative. */
  readonly size: number;
}

/** Below this, in units of CIEDE2000, a direction is not told: an instrument would not tell it either (common practice). */
const NOT_TOLD = 0.3;
/** A direction smaller than this share of the largest does not help to find what is wrong, and is left away. */
const MINOR = 0.3;
/** Colours of less chroma than this are greys: cleaner and dirtier say nothing of them, and hue is told along a* and b*. */
const GREY = 8;

/**
 * In which directions a sample leaves its standard, the most visible first; empty when none is worth telling.
 *
 * Each direction is weighed as in CIEDE2000 (S_L, S_C, S_H of the standard, S_H at T = 1). Greys are told along a* and b*. Of
 * other colours the turn of the hue is told by the unique hue that it turns towards; and the change of chroma: cleaner when
 * chroma grows by more than the sample is darker, dirtier when it falls by more than the sample is lighter (more chroma but much
 * darker is deeper, less but much lighter is paler: lightness then says it alone).
 */
export function directions(standard: Lab, sample: Lab): readonly Direction[] {
  const { dL, da, db, dC, dH } = components(standard, sample);
  const C = chroma(standard);
  const lightness = dL / lightnessWeight(standard[0]);
  const found: Direction[] = [axis(lightness, 'lighter', 'darker')];
  if (C < GREY)
    found.push(axis(da / (1 + 0.045 * C), 'redder', 'greener'), axis(db / (1 + 0.045 * C), 'yellower', 'bluer'));
  else {
    found.push({ word: turnWord(standard, dH), size: Math.abs(dH) / (1 + 0.015 * C) });
    const cleanness = dC / (1 + 0.045 * C);
    const outweighed = Math.sign(cleanness) * lightness < -Math.abs(cleanness);
    if (!outweighed) found.push(axis(cleanness, 'cleaner', 'dirtier'));
  }
  const largest = Math.max(...found.map((d) => d.size));
  return found.filter((d) => d.size >= NOT_TOLD && d.size >= MINOR * largest).sort((p, q) => q.size - p.size);
}

/** The unique hues, hue angle in CIELAB to the nearest few degrees (colour-naming studies; from memory), in order. */
const UNIQUE_HUES: readonly (readonly [number, DirectionWord])[] = [
  [24, 'redder'],
  [90, 'yellower'],
  [162, 'greener'],
  [246, 'bluer'],
];
/** A colour this near to a unique hue, degrees, is called by it: a red turns yellower or bluer, an orange yellower or redder. */
const NAMESAKE = 20;

/** The unique hue ahead of a standard whose hue turns. */
function turnWord(standard: Lab, dH: number): DirectionWord {
  const hue = lchOfLab(standard)[2];
  const ahead = (angle: number) => (((dH > 0 ? angle - hue : hue - angle) % 360) + 360) % 360;
  const nearest = UNIQUE_HUES.filter(([angle]) => Math.min(ahead(angle), 360 - ahead(angle)) >= NAMESAKE);
  return nearest.reduce((p, q) => (ahead(q[0]) < ahead(p[0]) ? q : p))[1];
}

/** S_L of CIEDE2000. */
function lightnessWeight(L: number): number {
  const square = (L - 50) ** 2;
  return 1 + (0.015 * square) / Math.sqrt(20 + square);
}

function axis(amount: number, more: DirectionWord, less: DirectionWord): Direction {
  return { word: amount > 0 ? more : less, size: Math.abs(amount) };
}

/** `darker, a little bluer`; `no clear direction` when nothing is worth telling. */
export function directionPhrase(standard: Lab, sample: Lab): string {
  const found = directions(standard, sample);
  return found.length === 0 ? 'no clear direction' : found.map(worded).join(', ');
}

/** Under 1 is a little, over 4 is much. */
function worded({ word, size }: Direction): string {
  if (size < 1) return `a little ${word}`;
  return size > 4 ? `much ${word}` : word;
}

export interface AnglePair {
  readonly geometry: Geometry;
  readonly standard: Lab;
  readonly sample: Lab;
}

/**
 * One phrase for all angles, by face, body and flop: `lighter on the face; darker, a little bluer on the flop`. Zones that say
 * the same are told together. The colours of a zone's angles are averaged: it is a phrase for the eye, not a figure.
 */
export function directionByZone(pairs: readonly AnglePair[]): string {
  const zones = (['face', 'body', 'flop'] as const).filter((zone) => pairs.some((p) => zoneOf(p.geometry) === zone));
  if (zones.length === 0) return 'no clear direction';
  const told = new Map<string, Zone[]>();
  for (const zone of zones) {
    const members = pairs.filter((p) => zoneOf(p.geometry) === zone);
    const phrase = directionPhrase(mean(members.map((p) => p.standard)), mean(members.map((p) => p.sample)));
    told.set(phrase, [...(told.get(phrase) ?? []), zone]);
  }
  if (told.size === 1) return zones.length > 1 ? `${[...told.keys()][0]} at all angles` : [...told.keys()][0]!;
  return [...told]
    .filter(([phrase]) => phrase !== 'no clear direction')
    .map(([phrase, where]) => `${phrase} on the ${where.join(' and ')}`)
    .join('; ');
}

function mean(labs: readonly Lab[]): Lab {
  const along = (c: 0 | 1 | 2) => labs.reduce((sum, lab) => sum + lab[c], 0) / labs.length;
  return [along(0), along(1), along(2)];
}
