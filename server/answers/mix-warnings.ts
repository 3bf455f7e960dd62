/** What must be known before the first pour: mistakes in the formula or its parents, and pours that the scale cannot weigh. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { listed } from '../book/checks/check.ts';
import { greyNamed } from '../book/entries/written.ts';
import { findingsIn } from '../book/findings.ts';
import { shopOf } from '../book/known.ts';
import { type Recipe, type RecipeCoat, recipeIn } from '../book/recipe.ts';
import { leastPour, waysOut, waysSentence } from '../book/small-pours.ts';
import { decimal, placesOf, type Rational, rational, sum } from '../exact/rational.ts';
import type { WeighingMode } from '../paint/scales.ts';
import { vocFigureWords } from '../paint/voc.ts';
import { placeOf } from './derivation.ts';
import type { MixAnswer, PourRow } from './mix.ts';
import { plain } from './plain.ts';
import { greyRecipe } from './undercoat.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from './undercoat-sheet.ts';

export interface MixWarning {
  /** broken: an error in the text, the pours may be wrong; small: a pour below what the scale can weigh; voc: above its limit. */
  readonly kind: 'broken' | 'small' | 'voc';
  readonly code: string;
  readonly message: string;
  /** file:line of a mistake. */
  readonly place: string | null;
}

export function mixWarnings(book: Book, cell: EntryCell, answer: MixAnswer, mode: WeighingMode): MixWarning[] {
  return [...mistakes(book, cell), ...aboveLimit(answer), ...tooSmall(book, cell, answer, mode)];
}

/** Of the colour, and of what lies below it. */
function aboveLimit({ voc, undercoat }: MixAnswer): MixWarning[] {
  const all = [
    { voc, what: 'the colour' },
    ...undercoatsInOrder(undercoat).map((one) => ({ voc: one.voc, what: `the undercoat ${sheetWords(one)}` })),
  ];
  return all.flatMap(({ voc: one, what }): MixWarning[] => {
    if (!one?.figure || one.within !== false || one.limit === null) return [];
    const of = one.coat === null ? '' : `, ${one.coat} coat`;
    const message = `The VOC of ${what}${of} is ${one[one.figure]?.toFixed(1)} g/l ${vocFigureWords[one.figure]} ${one.as === 'poured' ? 'as poured' : one.as}, above the ${one.limit.toFixed(0)} g/l of ${one.regimeName} ${one.category} as of ${one.date}. Local rules may be stricter.`;
    return [{ kind: 'voc', code: 'voc-above', message, place: null }];
  });
}

function mistakes(book: Book, cell: EntryCell): MixWarning[] {
  const lineage = recipeIn(book, cell).lineage.flatMap((id) => book.find('formula', id) ?? []);
  return lineage.flatMap((one) =>
    findingsIn(book, one)
      .filter((finding) => finding.severity === 'error')
      .map((finding) => {
        const line =
          one.entry.lines.find((each) => each.from <= finding.from && finding.from <= each.to) ?? one.entry.head;
        const message = `${finding.problem} ${finding.remedy}`;
        return { kind: 'broken', code: finding.code, message, place: line ? placeOf(one, line) : null };
      }),
  );
}

/** Each coat is a cup of its own, so its ways out are told for that cup; an undercoat is one, too. */
function tooSmall(book: Book, cell: EntryCell, answer: MixAnswer, mode: WeighingMode): MixWarning[] {
  const recipe = recipeIn(book, cell);
  const several = answer.coats.length > 1;
  const coats = answer.coats.flatMap(({ coat: name, weight }): SmallCup[] => {
    const coat = recipe.coats.find((one) => one.name === name);
    const pours = answer.pours.filter((pour) => pour.coat === name);
    return coat ? [{ coat, weight, pours, of: several ? `the ${name} coat` : '' }] : [];
  });
  const undercoats = undercoatsInOrder(answer.undercoat).flatMap((one): SmallCup[] =>
    one.weight === undefined
      ? []
      : [{ weight: one.weight, pours: one.pours, of: 'the undercoat', coat: greyCoat(book, one) }],
  );
  const step = rational(answer.scale.split(' ')[0]!);
  return [...undercoats, ...coats].flatMap((cup) => smallIn(book, recipe, cup, step, mode));
}

interface SmallCup {
  /** What is mixed in it; nothing where that is told elsewhere. */
  readonly coat: RecipeCoat | undefined;
  readonly weight: string;
  readonly pours: readonly Omit<PourRow, 'coat'>[];
  /** Empty where the formula is one coat. */
  readonly of: string;
}

/** Nothing for a coloured undercoat, which has a sheet of its own. */
function greyCoat(book: Book, { undercoat, grey, coloured }: UndercoatSheet): RecipeCoat | undefined {
  const written = coloured ? undefined : greyNamed(grey);
  const mixture = written && greyRecipe(book, undercoat, written);
  if (!mixture || typeof mixture === 'string') return undefined;
  return { name: 'ground', coats: undefined, toners: mixture.toners.map((one) => ({ ...one, origins: [] })) };
}

function smallIn(book: Book, recipe: Recipe, cup: SmallCup, step: Rational, mode: WeighingMode): MixWarning[] {
  const least = leastPour(book, step, mode);
  const few = cup.pours.filter((pour) => rational(pour.grams).lt(least));
  if (!cup.coat || few.length === 0 || rational(cup.weight).lte(0)) return [];
  const total = sum(cup.coat.toners.map((toner) => toner.parts));
  const weighed = { recipe: { ...recipe, coats: [cup.coat], total }, grams: rational(cup.weight), step, mode };
  const small = cup.coat.toners.filter(({ code, parts }) => parts.gt(0) && few.some((pour) => pour.toner === code));
  if (small.length === 0) return [];
  const share = plain(shopOf(book).weighingError.mul(100));
  const pours = listed(few.map(({ grams, toner }) => `${grams} g of ${toner}`));
  const ways = waysSentence(waysOut(book, small, weighed), step, cup.of ? ` of ${cup.of}` : '');
  return [
    {
      kind: 'small',
      code: 'pour-small',
      message: `${pours}${cup.of ? ` in ${cup.of}` : ''} ${few.length > 1 ? 'are' : 'is'} too little for this scale: below ${decimal(least, placesOf(step))} g a pour may be off by more than the accepted ${share} %. ${ways}`,
      place: null,
    },
  ];
}
