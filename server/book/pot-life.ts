/** How long the paint of a batch can be sprayed once the hardener is in it. */
import type { Rational } from '../exact/rational.ts';
import { standardTemperature, useBy } from '../paint/ready.ts';
import type { Book } from './book.ts';
import type { Content } from './cup.ts';
import type { Batch } from './entries/batch.ts';
import { moment, systemNamed, tonerNamed } from './known.ts';
import { recipeSystem } from './recipe.ts';

export interface PotLife {
  /** As the system states it, and for which temperature. */
  readonly seconds: Rational;
  readonly statedAt: Rational;
  /** When it ends as stated, milliseconds since 1970; undefined while the batch says no hour at which it was mixed. */
  readonly until: number | undefined;
  /** In a booth that is warmer than that: about half as long for every ten degrees. A warning, since no standard says so. */
  readonly warm: { readonly booth: Rational; readonly until: number } | undefined;
}

export const hasHardener = (book: Book, { pours }: Content): boolean =>
  pours.some(({ code }) => tonerNamed(book, code)?.kind === 'hardener');

/** Undefined where no hardener is in the cup, or the system states no pot life. */
export function potLifeOf(book: Book, batch: Batch, content: Content): PotLife | undefined {
  const life = systemNamed(book, recipeSystem(book, batch.formula) ?? '')?.potLife;
  if (!life || !hasHardener(book, content)) return undefined;
  const statedAt = life.temperature ?? standardTemperature;
  const mixed = moment(book, batch.mixed?.when);
  const from = mixed && !mixed.dayOnly ? mixed.at : undefined;
  const { booth } = batch;
  return {
    seconds: life.seconds,
    statedAt,
    until: from === undefined ? undefined : useBy(from, life.seconds),
    warm:
      from !== undefined && booth?.gt(statedAt)
        ? { booth, until: useBy(from, life.seconds, booth, statedAt) }
        : undefined,
  };
}

/** The last hour that the record of a batch says. */
export function lastMoment(book: Book, { mixed, closed, steps }: Batch): number | undefined {
  const said = [mixed?.when, closed?.when, ...steps.map((step) => (step.kind === 'weighed' ? step.when : undefined))];
  const times = said.flatMap((text) => {
    const found = moment(book, text);
    return found && !found.dayOnly ? [found.at] : [];
  });
  return times.length > 0 ? Math.max(...times) : undefined;
}
