/**
 * What the book's cards tell of its toners. A card speaks of the parts that were really on it, so a card of an earlier
 * formula is as good as any; a card that does not keep its parts says nothing here.
 */

import { viewingText } from '../../colour/viewing.ts';
import { sum } from '../../exact/rational.ts';
import { effectGeometryNamed } from '../../paint/effect-geometry.ts';
import { luminanceOfLightness } from '../../paint/munsell.ts';
import type { Book } from '../book.ts';
import { type Part, poursOf } from '../cards.ts';
import type { EntryCell } from '../cell.ts';
import { coloursIn } from '../colours.ts';
import type { CoatLines } from '../entries/formula.ts';
import type { Card } from '../entries/measured.ts';
import { specularOf } from '../imported.ts';
import { batchIn, cardIn, shopOf, tonerIn, tonerNamed } from '../known.ts';
import { hasFlakes, type Shares, sharesOf } from './amounts.ts';
import { greyLightness } from './greys.ts';
import { onGrid } from './grid.ts';
import { shortHash } from './hash.ts';

/** solid: read without an aspecular angle (45/0, d/8); effect: read at aspecular angles. */
export type Side = 'solid' | 'effect';
export const SIDES: readonly Side[] = ['solid', 'effect'];

export interface SampleReading {
  readonly geometry: string;
  readonly specular: 'included' | 'excluded';
  /** Reflectance factors on the grid. */
  readonly values: readonly number[];
}

/** Plain data, so that it can be sent to a worker. */
export interface Sample {
  /** Id of the card. */
  readonly card: string;
  readonly shares: readonly (readonly [code: string, share: number])[];
  /** Dry film, um, where the card says it and what it is over. */
  readonly film?: number;
  /** Reflectance of the undercoat, flat. */
  readonly under?: number;
  readonly readings: readonly SampleReading[];
  /** Of a card of a step panel. */
  readonly step?: PanelStep;
}

/** One step of a panel: a ground with so many mid coats on it. The sample's shares are the mid coat's, without one the ground's. */
export interface PanelStep {
  /** Steps that were sprayed together, by one hand, over one ground, say the same. */
  readonly panel: string;
  readonly formula: string | undefined;
  readonly coats: number;
  readonly ground: Sample['shares'];
  /** Dry film of ground and mid coats together, um, and how many coats that was. */
  readonly film: number | undefined;
  readonly coatsSprayed: number | undefined;
}

export interface Samples {
  /** Names what they are: another value when anything that is learned from has changed. */
  readonly key: string;
  readonly system: string;
  readonly side: Side;
  readonly basis: 'parts' | 'solids';
  readonly saunderson: { readonly k1: number; readonly k2: number };
  /** Main illuminant and observer of the book. */
  readonly light: string;
  /** Usual film of the cards, um, and usual film of one coat. */
  readonly film: number;
  readonly coat: number;
  readonly toners: readonly SampleToner[];
  readonly samples: readonly Sample[];
}

export interface SampleToner {
  readonly code: string;
  readonly kind?: string;
  /** K and S stated in the book, on the grid. */
  readonly stated?: { readonly K: readonly number[]; readonly S: readonly number[] };
}

/** A card that is not learned from. */
export interface LeftOutCard {
  readonly card: string;
  readonly why: string;
}

/** To be raised when the models change so that an old fit must not be used. */
export const MODEL_VERSION = 4;

/** Common practice where no card of the system says it. */
const USUAL_FILM = { solid: 45, effect: 18 } as const;
const USUAL_COAT = { solid: 20, effect: 6 } as const;

/** What one card says: per side a sample or the reason why there is none. */
interface CardSamples {
  readonly id: string;
  readonly system: string;
  readonly solid: Sample | undefined;
  readonly effect: Sample | undefined;
  /** Film of one coat, um. */
  readonly coat: number | undefined;
  readonly why: string | undefined;
  readonly hash: string;
}

function cardSamples(book: Book, cell: EntryCell): CardSamples {
  const nothing = (): CardSamples => unusable('', '', 'it asks for itself');
  return book
    .fact(
      'samples',
      cell,
      () => readSamples(book, cell),
      nothing,
      (a, b) => a.hash === b.hash,
    )
    .get();
}

const unusable = (id: string, system: string, why: string): CardSamples => ({
  id,
  system,
  solid: undefined,
  effect: undefined,
  coat: undefined,
  why,
  hash: `${id} ${system} ${why}`,
});

function readSamples(book: Book, cell: EntryCell): CardSamples {
  const card = cardIn(book, cell);
  const { id } = card;
  const coats = coatsOn(book, card);
  const mixed = coats.map((coat) => sharesOf(book, coat));
  const systems = mixed.flatMap((one) => (typeof one === 'string' ? [] : one.system));
  const system = systems[0] ?? '';
  const [first] = mixed;
  if (first === undefined) return unusable(id, system, 'it does not keep its parts');
  const cup = cupOfOneCoat(book, card);
  if (cup !== undefined)
    return unusable(id, system, `it keeps the cup of its ${cup} coat alone: write all its coats on the card`);
  if (typeof first === 'string') return unusable(id, system, first);
  const step = stepOf(card, mixed);
  if (typeof step === 'string') return unusable(id, system, step);
  const seen = step === undefined || step.coats === 0 ? first : (mixed.at(-1) as Shares);
  const read = readingsOf(book, cell);
  const shares = [...seen.shares];
  const { film, ...under } = filmOf(card);
  const sample = (readings: readonly SampleReading[]): Sample | undefined => {
    if (readings.length === 0) return undefined;
    if (step) return { card: id, shares, ...under, readings, step };
    return { card: id, shares, ...(film === undefined ? {} : { film }), ...under, readings };
  };
  const flakes = hasFlakes(book, seen.shares.keys()) || (step?.coats ?? 0) > 0;
  const solid = flakes ? undefined : sample(read.flat.slice(0, 1));
  const effect = sample(read.angled);
  const angled = step ? 'coats over a ground' : 'flakes';
  const why =
    solid || effect ? undefined : (read.why ?? `${angled} are learned from readings at aspecular angles only`);
  const coat = !step && card.film !== undefined && card.coatsSprayed ? card.film / card.coatsSprayed : undefined;
  return {
    id,
    system,
    solid,
    effect,
    coat,
    why,
    hash: shortHash(JSON.stringify([id, system, solid, effect, coat, why])),
  };
}

/** What a card of several coats is a step of; a sentence when that is not known; undefined for a card of one coat. */
function stepOf(card: Card, mixed: readonly (Shares | string)[]): PanelStep | undefined | string {
  const names = card.coats.filter((coat) => coat.toners.length > 0).map((coat) => coat.name);
  const bare = mixed.length === 1 && names[0] === 'ground';
  if (mixed.length <= 1 && !bare) return undefined;
  const problem = mixed.find((one) => typeof one === 'string');
  if (typeof problem === 'string') return problem;
  if (!bare && names.join(' ') !== 'ground mid')
    return `it has the coats ${names.join(', ')}; of several coats those of a ground with mid coats on it are learned`;
  const coats = bare ? 0 : card.coats.find((coat) => coat.name === 'mid')!.coats;
  if (coats === undefined)
    return 'it does not say how many mid coats were sprayed: write coat mid coats and the number';
  const ground = [...(mixed[0] as Shares).shares];
  const panel = shortHash(
    JSON.stringify([card.formula ?? card.id, card.made, ground.map(([code, share]) => [code, share.toFixed(4)])]),
  );
  return { panel, formula: card.formula, coats, ground, film: card.film, coatsSprayed: card.coatsSprayed };
}

/** What was on the card, coat by coat: its own lines, else the cup that it was sprayed from. */
function coatsOn(book: Book, card: Card): readonly (readonly Part[])[] {
  const own = card.coats.map((coat: CoatLines) => coat.toners).filter((toners) => toners.length > 0);
  if (own.length > 0) return own;
  const batch = card.batch === undefined ? undefined : book.find('batch', card.batch);
  const poured = batch ? pouredFromLots(book, batch) : [];
  return sum(poured.map((one) => one.parts)).compare(0) > 0 ? [poured] : [];
}

/** The coat whose cup is all that a card of several coats keeps. */
function cupOfOneCoat(book: Book, card: Card): string | undefined {
  if (card.coats.some(({ toners }) => toners.length > 0)) return undefined;
  const batch = card.batch === undefined ? undefined : book.find('batch', card.batch);
  return batch && batchIn(book, batch).coat;
}

/** What is in the cup, with the lots that the batch names. */
function pouredFromLots(book: Book, batch: EntryCell): Part[] {
  const { lots } = batchIn(book, batch);
  return poursOf(book, batch).map((part) => {
    const lot = lots.get(part.code);
    return lot === undefined ? part : { ...part, lot };
  });
}

function readingsOf(
  book: Book,
  cell: EntryCell,
): { flat: SampleReading[]; angled: SampleReading[]; why: string | undefined } {
  const flat: SampleReading[] = [];
  const angled: SampleReading[] = [];
  let why: string | undefined = 'it was not read';
  for (const { geometry, spectrum } of coloursIn(book, cell).angles) {
    if (!spectrum) {
      why = 'it has Lab only, which does not tell how a toner absorbs';
      continue;
    }
    const values = onGrid(spectrum);
    if (!values?.every(Number.isFinite)) {
      why = 'its spectra do not reach from 400 to 700 nm in steps of 20 nm or less';
      continue;
    }
    const aspecular = /as/.test(geometry);
    if (aspecular && effectGeometryNamed(geometry) === undefined) continue;
    const specular = geometry.startsWith('d')
      ? (specularOf(book, cell, cardIn(book, cell)) ?? shopOf(book).saunderson.specular)
      : 'excluded';
    (aspecular ? angled : flat).push({ geometry, specular, values });
  }
  return { flat, angled, why };
}

/** Reflectance of a printed chart's black and white: contrast charts as ISO 6504-3 asks for them. */
const CHART = { black: 0.01, white: 0.8 } as const;

/** What is under the card, and how thick it is, where both are told; a film alone says nothing. */
function filmOf(card: Card): Pick<Sample, 'film' | 'under'> {
  const { over, film } = card;
  if (!over || 'formula' in over) return {};
  const lightness = 'chart' in over ? undefined : greyLightness(over.grey);
  const under = 'chart' in over ? CHART[over.chart] : lightness && luminanceOfLightness(lightness) / 100;
  if (under === undefined) return {};
  return film !== undefined && film > 0 ? { film, under } : { under };
}

function allCards(book: Book): CardSamples[] {
  const cells = [...book.ofKind('sprayout'), ...book.ofKind('drawdown')];
  return cells.map((cell) => cardSamples(book, cell)).sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
}

/** Systems of the book that have cards to learn from, or toners whose constants are stated. */
export function systemsLearned(book: Book): readonly string[] {
  return book
    .bookFact(
      'systems learned',
      () => {
        const carded = allCards(book).flatMap((card) => (card.solid || card.effect ? card.system : []));
        const all = [...book.ofKind('toner')].map((cell) => tonerIn(book, cell));
        const stated = all.flatMap((toner) => (toner.absorption && toner.scattering ? (toner.system ?? '') : []));
        return [...new Set([...carded, ...stated])].sort();
      },
      () => [] as string[],
      (a, b) => a.join('\n') === b.join('\n'),
    )
    .get();
}

/** What is learned from for one side of one system; the key says when it becomes another. */
export function samplesOf(book: Book, system: string, side: Side): Samples {
  return book
    .bookFact(
      `samples ${side} ${system}`,
      () => gather(book, system, side),
      () => gathered(book, system, side, []),
      (a, b) => a.key === b.key,
    )
    .get();
}

function gather(book: Book, system: string, side: Side): Samples {
  return gathered(
    book,
    system,
    side,
    allCards(book).filter((card) => card.system === system),
  );
}

function gathered(book: Book, system: string, side: Side, cards: readonly CardSamples[]): Samples {
  const shop = shopOf(book);
  const used = cards.filter((card) => card[side] !== undefined);
  const samples = used.map((card) => card[side]!);
  const stated = side === 'solid' ? statedToners(book, system) : [];
  const on = samples.flatMap(({ shares, step }) => [...shares, ...(step?.ground ?? [])].map(([code]) => code));
  const codes = [...new Set([...on, ...stated])].sort();
  const { k1, k2 } = shop.saunderson;
  const set = {
    system,
    side,
    basis: shop.concentration,
    saunderson: { k1, k2 },
    light: viewingText(shop.viewings[0]!),
    film: middle(samples.flatMap((sample) => sample.film ?? [])) ?? USUAL_FILM[side],
    coat: middle(used.flatMap((card) => card.coat ?? [])) ?? USUAL_COAT[side],
    toners: codes.map((code) => tonerOf(book, code)),
  };
  // Each card was hashed when it was read, so that an edit of one does not write out all the others again.
  const key = shortHash(JSON.stringify([MODEL_VERSION, set, used.map((card) => card.hash)]));
  return { key, ...set, samples };
}

/** Toners whose K and S the book states need no card. */
function statedToners(book: Book, system: string): string[] {
  return [...book.ofKind('toner')].flatMap((cell) => {
    const toner = tonerIn(book, cell);
    return (toner.system ?? '') === system && toner.absorption && toner.scattering ? toner.code : [];
  });
}

function tonerOf(book: Book, code: string): SampleToner {
  const toner = tonerNamed(book, code);
  const K = toner?.absorption && onGrid(toner.absorption);
  const S = toner?.scattering && onGrid(toner.scattering);
  return { code, ...(toner?.kind === undefined ? {} : { kind: toner.kind }), ...(K && S ? { stated: { K, S } } : {}) };
}

function middle(values: readonly number[]): number | undefined {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

/** Whether there is anything that could be learned. */
export const tellSomething = (samples: Samples): boolean => samples.toners.length > 0;

/** What one card tells for a side; a sentence when it tells nothing. */
export function sampleOf(book: Book, cell: EntryCell, side: Side): Sample | string {
  const found = cardSamples(book, cell);
  return found[side] ?? found.why ?? `it was not read for ${side} colours`;
}

/** Cards that say nothing of the toners, and why. */
export const cardsLeftOut = (book: Book): LeftOutCard[] =>
  allCards(book).flatMap(({ id, why }) => (why === undefined ? [] : [{ card: id, why }]));
