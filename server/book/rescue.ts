/** Ways out of an over-pour, with the colour that each is expected to give. */
import { difference } from '../colour/difference.ts';
import { viewingText } from '../colour/viewing.ts';
import { type Rational, sum } from '../exact/rational.ts';
import { growth, type RecoveryChoice, recoveryChoices } from '../paint/recovery.ts';
import { type Amount, scaleTo } from '../paint/weights.ts';
import type { Book } from './book.ts';
import { type Cup, coatOf, onScale, tooMuchIn } from './cup.ts';
import { toleranceFor } from './entries/shop.ts';
import { shopOf } from './known.ts';
import { isPredicted, type PredictedColour, predictionOf } from './optics/predicted.ts';
import { type Recipe, recipeNamed } from './recipe.ts';

export interface Rescue extends RecoveryChoice {
  /** The total before the scale rounds it; of an exact recovery k times what was to be made. */
  readonly exact: Rational;
}

/** Empty while nothing that is worth it is over. */
export function rescuesIn(book: Book, cup: Cup): Rescue[] {
  if (tooMuchIn(book, cup).length === 0) return [];
  const differs = differenceIn(book, cup);
  const choices = recoveryChoices(cup.plan, {
    ...(cup.most ? { cupLimit: cup.most } : {}),
    ...(differs ? { difference: differs, tolerance: toleranceFor(shopOf(book), '').limit } : {}),
  });
  return choices.map((choice) => {
    const shows = cup.content.shows.sub(choice.kind === 'start again' ? cup.content.shows : choice.removed);
    const additions = onScale(
      cup,
      shows,
      choice.additions.map(({ code, weighed }) => ({ code, grams: weighed })),
    );
    return { ...choice, additions, exact: choice.kind === 'exact' ? grown(cup) : choice.total };
  });
}

/** How many times larger than asked the batch has to become; below 1 while nothing is over. */
export const growthOf = (cup: Cup): Rational | undefined => growth(cup.plan.formula, cup.target, cup.plan.poured);

const grown = (cup: Cup): Rational => (growthOf(cup)?.gt(1) ? growthOf(cup)!.mul(cup.target) : cup.target);

/**
 * The predicted difference of a mixture from the recipe of the cup: dE00 at the worst angle under the main light of the book. The model's
 * own error is left out, since it is nearly the same for two mixtures so alike. Undefined while nothing can be predicted.
 */
export function differenceIn(book: Book, cup: Cup): ((mixture: readonly Amount[]) => number | undefined) | undefined {
  const recipe = recipeNamed(book, cup.batch.formula);
  const coat = recipe && coatOf(recipe, cup.batch);
  if (!recipe || !coat) return undefined;
  const wanted = coloursOf(book, recipe, coat.name, scaleTo(cup.recipe, sum(cup.recipe.map((part) => part.parts))));
  if (!wanted) return undefined;
  return (mixture) => {
    const got = coloursOf(book, recipe, coat.name, mixture);
    const worst = wanted.map((one) => {
      const other = got?.find(({ geometry }) => geometry === one.geometry);
      return other ? difference('dE00', one.lab, other.lab) : Number.NaN;
    });
    const value = Math.max(...worst);
    return worst.length > 0 && Number.isFinite(value) ? value : undefined;
  };
}

/** The colours of the formula with other amounts in one of its coats. */
function coloursOf(
  book: Book,
  recipe: Recipe,
  coat: string,
  amounts: readonly Amount[],
): PredictedColour[] | undefined {
  const toners = amounts.map(({ code, grams }) => ({ code, parts: grams, origins: [] }));
  const coats = recipe.coats.map((one) => (one.name === coat ? { ...one, toners } : one));
  const found = predictionOf(book, { ...recipe, coats });
  const main = viewingText(shopOf(book).viewings[0]!);
  return isPredicted(found) ? found.colours.filter((one) => viewingText(one.viewing) === main) : undefined;
}
