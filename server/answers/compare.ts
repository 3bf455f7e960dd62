/** Two colours of the book side by side, angle by angle and light by light. The first is the standard. */

import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf } from '../book/known.ts';
import type { ReasonKind } from '../colour/comparable.ts';
import { components, difference, type Metric } from '../colour/difference.ts';
import { directionPhrase } from '../colour/direction.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { type Flakes, flakesOf } from './flakes.ts';
import { likenessOf } from './likeness.ts';
import { measuredColours, plainName } from './measured.ts';
import { rounded } from './number.ts';
import { differsUnder, type Pair, pairsOf } from './pairs.ts';
import { Unanswerable } from './subject.ts';
import { type BookVerdict, verdictOf } from './verdict.ts';

export interface PairDifference {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly dL: number;
  readonly da: number;
  readonly db: number;
  readonly dC: number;
  readonly dH: number;
  /** In the painter's words: darker, a little bluer. */
  readonly direction: string;
  /** The metrics that were asked for, by name. */
  readonly [metric: string]: number | string;
}

export interface ComparisonAnswer {
  readonly standard: string;
  readonly sample: string;
  /** The readings or cards whose colours were compared. */
  readonly by: { readonly standard: string; readonly sample: string };
  /** By the book's tolerances in CIEDE2000. */
  readonly verdict: BookVerdict | null;
  /** What differs, in words, under the light of the verdict. */
  readonly differs: string;
  /** In the order of the angles from the gloss outwards. */
  readonly pairs: readonly PairDifference[];
  readonly flakes: Flakes;
  /** What makes the figures doubtful. */
  readonly notes: readonly string[];
  /** The finding that stands instead of the figures where the two were not read alike and nobody insists; else null. */
  readonly refused: string | null;
  /** What could not be held against the two, because one or both do not say it. */
  readonly unstated: readonly ReasonKind[];
}

export const USUAL_METRICS: readonly Metric[] = ['dE76', 'dE94', 'dEcmc', 'dE00'];

export function differencesOf(pair: Pair, metrics: readonly Metric[] = USUAL_METRICS): PairDifference {
  const { geometry, illuminant, observer, standard, sample } = pair;
  const { dL, da, db, dC, dH } = components(standard, sample);
  const figures = Object.fromEntries(metrics.map((metric) => [metric, rounded(difference(metric, standard, sample))]));
  return {
    geometry,
    illuminant,
    observer,
    dL: rounded(dL),
    da: rounded(da),
    db: rounded(db),
    dC: rounded(dC),
    dH: rounded(dH),
    ...figures,
    direction: directionPhrase(standard, sample),
  };
}

export interface CompareOptions {
  readonly metrics?: readonly Metric[];
  /** Default: those of the book. */
  readonly viewings?: readonly Viewing[];
  /** Compares even readings of unlike surfaces or instruments, with the reason beside the figures. */
  readonly anyway?: boolean;
}

/** @throws Unanswerable when the two have no angle or light in common. */
export function compare(
  book: Book,
  standard: EntryCell,
  sample: EntryCell,
  { metrics = USUAL_METRICS, viewings = shopOf(book).viewings, anyway = false }: CompareOptions = {},
): ComparisonAnswer {
  const [a, b] = [measuredColours(book, standard), measuredColours(book, sample)];
  const { grave, remarks, unstated } = likenessOf(book, a.of, b.of);
  const pairs = pairsOf(a.colours, b.colours, viewings);
  if (pairs.length === 0) throw new Unanswerable(nothingInCommon(standard, sample, a.colours, b.colours, viewings));
  const who = {
    standard: standard.name ?? '',
    sample: sample.name ?? '',
    by: { standard: plainName(a.of), sample: plainName(b.of) },
    flakes: flakesOf(book, a.of, b.of),
    unstated,
  };
  if (grave.length > 0 && !anyway) {
    const refused = `${plainName(standard)} and ${plainName(sample)} were not read alike: ${grave.join('; ')}. Their difference would show that, not the paint. Read both alike, or insist with --anyway.`;
    return { ...who, verdict: null, differs: 'not compared', pairs: [], notes: [...grave, ...remarks], refused };
  }
  const verdict = verdictOf(book, pairs);
  return {
    ...who,
    verdict,
    differs: differsUnder(verdict ?? pairs[0]!, pairs),
    pairs: pairs.map((pair) => differencesOf(pair, metrics)),
    notes: [...grave, ...remarks, ...leftAway(pairs, a.colours.angles, b.colours.angles)],
    refused: null,
  };
}

type Angles = readonly { readonly geometry: string }[];
const angles = (all: Angles): string => all.map(({ geometry }) => geometry).join(' ') || 'none';

function nothingInCommon(
  standard: EntryCell,
  sample: EntryCell,
  a: { readonly angles: Angles },
  b: { readonly angles: Angles },
  viewings: readonly Viewing[],
): string {
  const names = `${plainName(standard)} and ${plainName(sample)}`;
  const common = a.angles.some(({ geometry }) => b.angles.some((other) => other.geometry === geometry));
  if (!common)
    return `${names} have no angle in common (${angles(a.angles)} against ${angles(b.angles)}): nothing to compare.`;
  return `${names} have no colour under ${viewings.map(viewingText).join(', ')} in common: without spectra only the light that was read can be compared.`;
}

function leftAway(pairs: readonly Pair[], a: Angles, b: Angles): string[] {
  const compared = new Set(pairs.map((pair) => pair.geometry));
  const only = (all: Angles, whose: string) => {
    const left = all.filter(({ geometry }) => !compared.has(geometry));
    return left.length === 0 ? [] : [`not compared: ${angles(left)}, read on the ${whose} only`];
  };
  return [...only(a, 'standard'), ...only(b, 'sample')];
}
