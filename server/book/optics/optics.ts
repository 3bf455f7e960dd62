/** The fits of a book: which one a prediction uses, and whether it is of the cards as they are now. */
import type { DifferenceError } from '../../paint/effect-difference.ts';
import type { EffectModel, EffectToner } from '../../paint/effect-model.ts';
import { readEffectFit } from '../../paint/effect-record.ts';
import type { EffectError } from '../../paint/effect-uncertainty.ts';
import type { OpticsFit } from '../../paint/fit.ts';
import { readFit } from '../../paint/fit-record.ts';
import type { UncertaintyModel } from '../../paint/uncertainty.ts';
import type { Book } from '../book.ts';
import { untracked } from '../facts.ts';
import { type Learned, learn } from './learn.ts';
import { type Samples, SIDES, type Side, samplesOf, systemsLearned, tellSomething } from './samples.ts';

/** ready: learned from the cards as they are; recomputing: a card has changed since; none: nothing was learned. */
export interface Optics {
  readonly state: 'ready' | 'recomputing' | 'none';
  /** The last fit; while it is out of date it is still used. */
  readonly learned: Learned | undefined;
}

/** Under this name the fits of a book are kept. */
export const fitName = ({ system, side }: { readonly system: string; readonly side: Side }): string =>
  `${side} ${system}`;

/** Puts in fits that were read or learned. */
export function putFits(book: Book, fits: readonly Learned[]): void {
  if (fits.length === 0) return;
  const known = new Map(book.fits.peek());
  for (const fit of fits) known.set(fitName(fit), fit);
  book.fits.set(known);
}

export function opticsOf(book: Book, system: string, side: Side): Optics {
  return book
    .bookFact<Optics>(
      `optics ${side} ${system}`,
      () => {
        const samples = samplesOf(book, system, side);
        if (!tellSomething(samples)) return { state: 'none', learned: undefined };
        const learned = book.fits.get().get(fitName({ system, side }));
        return { state: learned?.key === samples.key ? 'ready' : 'recomputing', learned };
      },
      () => ({ state: 'none', learned: undefined }),
      (a, b) => a.state === b.state && a.learned === b.learned,
    )
    .get();
}

/** Samples that the book has no up-to-date fit of. */
export function unlearnedSamples(book: Book): Samples[] {
  return untracked(() =>
    systemsLearned(book).flatMap((system) =>
      SIDES.flatMap((side) => {
        const samples = samplesOf(book, system, side);
        const done = !tellSomething(samples) || opticsOf(book, system, side).state === 'ready';
        return done ? [] : [samples];
      }),
    ),
  );
}

/** Learns at once what is not up to date; returns the fits that were made. What cannot be learned (wild readings, say) is told. */
export function learnBook(
  book: Book,
  onFailure: (samples: Samples, reason: string) => void = () => undefined,
): readonly Learned[] {
  const made = unlearnedSamples(book).flatMap((samples) => {
    try {
      return learn(samples);
    } catch (error) {
      onFailure(samples, error instanceof Error ? error.message : String(error));
      return [];
    }
  });
  putFits(book, made);
  return made;
}

/** All fits that speak of the book as it is, in a fixed order. */
export function fitsOf(book: Book): readonly Learned[] {
  return systemsLearned(book).flatMap((system) => SIDES.flatMap((side) => opticsOf(book, system, side).learned ?? []));
}

/** A solid fit ready for predicting; toners by code. */
export interface SolidOptics {
  readonly fit: OpticsFit;
  readonly model: UncertaintyModel;
  readonly index: ReadonlyMap<string, number>;
}

/** An effect fit ready for predicting. */
export interface EffectOptics {
  readonly model: EffectModel;
  readonly toners: ReadonlyMap<string, EffectToner>;
  readonly errors: readonly EffectError[];
  readonly differences: DifferenceError;
}

const opened = new WeakMap<Learned, SolidOptics | EffectOptics | undefined>();

/** A record that does not fit together (edited by hand, say) is as none. */
function open(learned: Learned): SolidOptics | EffectOptics | undefined {
  if (!opened.has(learned)) {
    try {
      opened.set(learned, 'solid' in learned.fit ? openSolid(learned.fit.solid) : readEffectFit(learned.fit.effect));
    } catch {
      opened.set(learned, undefined);
    }
  }
  return opened.get(learned);
}

function openSolid(record: Parameters<typeof readFit>[0]): SolidOptics {
  const read = readFit(record);
  return { ...read, index: new Map(read.fit.toners.map(({ code }, i) => [code, i])) };
}

export function solidOptics(learned: Learned | undefined): SolidOptics | undefined {
  const found = learned && open(learned);
  return found && 'index' in found ? found : undefined;
}

export function effectOptics(learned: Learned | undefined): EffectOptics | undefined {
  const found = learned && open(learned);
  return found && 'toners' in found ? found : undefined;
}
