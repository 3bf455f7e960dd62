/** Paint that was left of one batch and goes into another: what speaks against it. */
import { decimal, type Rational } from '../exact/rational.ts';
import type { Book } from './book.ts';
import { contentIn } from './cup.ts';
import { batchIn, moment, systemNamed, tonerNamed } from './known.ts';
import { recipeSystem } from './recipe.ts';

export interface LeftoverUse {
  /** What it was left of. */
  readonly batch: string;
  readonly grams: Rational;
  /** What it is to become. */
  readonly formula: string;
  /** When it is mixed, milliseconds since 1970; nothing is out of date while this is not known. */
  readonly at: number | undefined;
}

export interface Refusal {
  readonly problem: string;
  readonly remedy: string;
}

const WASTE = 'Leave it out of the cup; it goes to the waste that its data sheet names.';

/** Why a leftover must not be used; undefined when nothing speaks against it. */
export function leftoverRefusal(book: Book, { batch, grams, formula, at }: LeftoverUse): Refusal | undefined {
  const cell = book.find('batch', batch);
  if (!cell) return undefined;
  const other = batchIn(book, cell);
  const { pours, inCup } = contentIn(book, cell);
  const hardener = pours.find(({ code }) => tonerNamed(book, code)?.kind === 'hardener');
  if (hardener)
    return { problem: `${batch} has hardener in it (${hardener.code}): it sets in the cup.`, remedy: WASTE };
  const [theirs, ours] = [recipeSystem(book, other.formula), recipeSystem(book, formula)];
  if (theirs !== undefined && ours !== undefined && theirs !== ours)
    return {
      problem: `${batch} is of system ${theirs}, ${formula} of ${ours}: the two do not mix.`,
      remedy: `Use it for a formula of ${theirs}.`,
    };
  const keeps = ours === undefined ? undefined : systemNamed(book, ours)?.keeps;
  const mixed = moment(book, other.mixed?.when);
  if (keeps && mixed && at !== undefined && at - mixed.at > keeps.valueOf() * 1000)
    return {
      problem: `${batch} was mixed ${other.mixed!.when}; paint of ${ours} keeps ${decimal(keeps.div(86_400), 0)} days.`,
      remedy: WASTE,
    };
  if (inCup.gt(0) && grams.gt(inCup))
    return {
      problem: `${batch} held ${decimal(inCup, 1)} g; ${decimal(grams, 1)} g of it cannot be left.`,
      remedy: 'Write what is in its cup by the scale.',
    };
  return undefined;
}
