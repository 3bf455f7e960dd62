/** Where the VOC and the cost of a formula come from. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf } from '../book/known.ts';
import { costsOf, lackingText, materialNamed, volatilesOf } from '../book/materials.ts';
import type { Recipe } from '../book/recipe.ts';
import { everyVoc, type HeldLimit, limitOf, mostVoc, sprayedAs, sprayedCoats, type VocAsSprayed } from '../book/voc.ts';
import { decimal, type Rational, rational } from '../exact/rational.ts';
import { type VocFigure, type VolatileLiquid, vocFigureWords } from '../paint/voc.ts';
import { scaleTo } from '../paint/weights.ts';
import { type Derivation, lineStep, type Step } from './derivation.ts';
import { mix } from './mix.ts';
import { plain } from './plain.ts';
import { Unanswerable } from './subject.ts';

const COUNTED: Readonly<Record<VocFigure, string>> = {
  actual: 'per litre of all that is in the cup (ISO 11890-2, method 2)',
  lessWater: 'per litre without its water (ISO 11890-2, method 3)',
  lessWaterAndExempt: 'per litre without its water and exempt solvents (ISO 11890-2, method 4; 40 CFR 59.104(a)(1))',
};

/** With the reducer that gives most: the figure that an expectation is held against. @throws Unanswerable while one is missing */
export function whyVoc(book: Book, recipe: Recipe): Derivation {
  if (recipe.total.lte(0)) throw new Unanswerable(`${recipe.id} has no toner lines.`);
  const most = mostVoc(everyVoc(book, recipe));
  const { found, additions } = most;
  const missing = [...new Set(found.missing.map(lackingText))];
  if (missing.length > 0) throw new Unanswerable(`The VOC of ${recipe.id} is not known: ${missing.join('; ')}.`);
  if (additions && !additions.components)
    throw new Unanswerable(`The VOC of ${recipe.id} is not known: ${additions.notes.join(' ')}`);
  if (!found.value)
    throw new Unanswerable(
      `The VOC of ${recipe.id} is not known: say that of the clear coat, such as 'clear 418 g/l'.`,
    );
  const held = limitOf(shopOf(book));
  return {
    figure: `VOC of ${recipe.id}`,
    value: `${decimal(found.value, 1)} g/l ${vocFigureWords[found.figure]}, ${sprayedAs(most)}${found.staged ? ', with its clear coat' : ''}`,
    basis: 'computed',
    steps: [
      { text: `grams of VOC ${COUNTED[found.figure]}` },
      ...limitSteps(book, held),
      ...(found.coats.length > 1 && !found.staged
        ? [{ text: `of its ${found.worst?.coat} coat, which gives most` }]
        : []),
      ...liquidSteps(book, recipe, most),
      ...additionSteps(book, recipe, most),
    ],
  };
}

/** The lines of the book entry that say what it is held against. */
function limitSteps(book: Book, held: HeldLimit | undefined): Step[] {
  const [shop] = book.shops();
  if (!held || !shop) return [{ text: 'the book names no limit: less water, as the EU counts (a default)' }];
  const words = held.limit.staged ? ['voc', 'clear'] : ['voc'];
  return [
    { text: `${held.name}, ${held.limit.name}: ${plain(held.limit.limit)} g/l as of ${held.date}` },
    ...shop.entry.lines
      .filter((line) => line.row && words.includes(line.word))
      .map((line) => lineStep({ cell: shop, line })),
  ];
}

function liquidSteps(book: Book, { coats }: Recipe, { additions, found }: VocAsSprayed): Step[] {
  const cups = sprayedCoats(book, coats, additions?.components);
  const shown = found.staged ? cups : cups.filter(({ coat }) => coat === found.worst?.coat);
  return shown.flatMap(({ amounts, materials }) =>
    volatilesOf(book, amounts, materials).liquids.map((liquid) => ({
      text: liquidText(liquid),
      ...placeOfToner(book, liquid.code),
    })),
  );
}

function liquidText({ code, grams, organic, water, exempt, density }: VolatileLiquid): string {
  const share = (of: Rational) => `${decimal(of.mul(100), 1)} %`;
  const parts = [
    `${share(organic)} VOC`,
    ...(water.gt(0) ? [`${share(water)} water`] : []),
    ...(exempt?.gt(0) ? [`${share(exempt)} exempt`] : []),
  ];
  return `${decimal(grams, 2)} g of ${code}: ${parts.join(', ')}, ${decimal(density, 3)} g/ml`;
}

const placeOfToner = (book: Book, code: string): { place?: string } => {
  const cell = book.find('toner', code);
  const step = cell?.entry.head && lineStep({ cell, line: cell.entry.head });
  return step?.place === undefined ? {} : { place: step.place };
};

function additionSteps(book: Book, { system }: Recipe, { additions }: VocAsSprayed): Step[] {
  const cell = system && book.find('system', system.is);
  return cell ? (additions?.lines ?? []).map(({ line }) => lineStep({ cell, line })) : [];
}

/** Of the paint at the target, without hardener, reducer and undercoat. @throws Unanswerable without a target or any price */
export function whyCost(book: Book, cell: EntryCell, recipe: Recipe): Derivation {
  const sheet = mix(book, cell);
  const { sums, unpriced, perLitre } = sheet.cost;
  if (sums.length === 0) throw new Unanswerable(`The cost of ${recipe.id} is not known: no toner of it has a price.`);
  const money = (all: typeof sums) => all.map(({ amount, currency }) => `${amount} ${currency}`).join(' and ');
  return {
    figure: `cost of ${recipe.id}`,
    value: `${unpriced.length > 0 ? 'at least ' : ''}${money(sums)} for ${sheet.total} g${perLitre ? `, ${money(perLitre)} per litre` : ''}`,
    basis: 'computed',
    steps: [
      { text: 'the paint as poured; hardener, reducer and undercoat are not in it' },
      ...costSteps(book, recipe, sheet.coats),
      ...unpriced.map((code) => ({ text: `${code} has no price`, ...placeOfToner(book, code) })),
    ],
  };
}

function costSteps(book: Book, recipe: Recipe, coats: readonly { coat: string; weight: string }[]): Step[] {
  return recipe.coats.flatMap(({ name, toners }) => {
    const weight = coats.find(({ coat }) => coat === name)?.weight;
    if (weight === undefined || rational(weight).lte(0)) return [];
    return scaleTo(toners, rational(weight)).flatMap(({ code, grams }) => {
      const price = materialNamed(book, code)?.price;
      if (!price) return [];
      const { money } = costsOf(book, [{ code, grams }]);
      const cost = [...money].map(([currency, sum]) => `${decimal(sum, 2)} ${currency}`).join(', ');
      return [
        {
          text: `${decimal(grams, 1)} g of ${code} at ${decimal(price.perGram.mul(1000), 2)} ${price.currency}/kg = ${cost}`,
          ...placeOfToner(book, code),
        },
      ];
    });
  });
}
