/** A correction for a terminal. */
import type { AdditionsAnswer, CorrectAnswer } from '../../answers/correct.ts';
import { notes, signed } from './figures.ts';
import { table } from './table.ts';

export function correctText(answer: CorrectAnswer): string {
  const rows = answer.revised.toners.map(({ code, parts, delta }, n) => [
    code,
    parts.toFixed(2),
    signed(delta, 2),
    signed(answer.part.toners[n]!.delta, 2),
  ]);
  return [
    `${answer.formula} by ${answer.cards.join(', ')} against ${answer.standard}: ${answer.before.toFixed(1)} dE00 off, ${readWords(answer)}.`,
    answer.advice,
    ...recomputing(answer.state),
    ...tooLittleKnown(answer),
    ...filmWords(answer),
    ...coatWords(answer),
    `Predicted after the whole change ${answer.revised.after.toFixed(1)}, after ${Math.round(answer.part.of * 100)} % of it ${answer.part.after.toFixed(1)} dE00:`,
    table(
      [['toner', 'parts', 'change', `${Math.round(answer.part.of * 100)} %`], ...rows],
      ['left', 'right', 'right', 'right'],
    ),
    answer.take === 'spray again' ? 'If the next card says the same, as a variant:' : 'As a variant:',
    answer.variant,
    ...tonerWords(answer),
  ].join('\n');
}

const readWords = ({ carriedOver }: CorrectAnswer): string =>
  carriedOver
    ? `measured at ${carriedOver.from} and carried over to the ${carriedOver.to} of the standard by the model`
    : 'measured';

function tonerWords({ withToner, revised }: CorrectAnswer): string[] {
  if (!withToner) return [];
  const { toner, after, variant } = withToner;
  const why = `Its own toners bring it to ${revised.after.toFixed(1)} dE00 only`;
  return [`${why}. With ${toner} besides, predicted ${after.toFixed(1)}:`, variant];
}

export function additionsText(answer: AdditionsAnswer): string {
  const rows = answer.additions.map(({ toner, grams }) => [toner, `${grams} g`]);
  return [
    `Batch ${answer.batch} of ${answer.formula}${answer.coat ? `, ${answer.coat} coat` : ''}, ${answer.inCup} g in the cup, to ${answer.standard}.`,
    answer.advice,
    ...recomputing(answer.state),
    ...tooLittleKnown(answer),
    ...(rows.length > 0 ? ['Add:', table(rows, ['left', 'right']), `  total ${answer.total} g`] : []),
  ].join('\n');
}

/** An undercoat that shows less through a film, dE00, is not worth a word. */
const HARDLY_SHOWS = 0.2;

function filmWords({ film }: CorrectAnswer): string[] {
  if (!film || film.shows < HARDLY_SHOWS) return [];
  const what = `the card's film of ${Number(film.um.toFixed(1))} um over L* ${film.lightness.toFixed(0)}`;
  return [`Counted as ${what}, not as one that hides: what is below shows through by ${film.shows.toFixed(1)} dE00.`];
}

function coatWords({ coat, coats, midCoats, before }: CorrectAnswer): string[] {
  if (coat === null) return [];
  const each = coats.map((one) => `the ${one.coat} coat ${one.after.toFixed(1)} dE00`).join(', ');
  const lines = [`Changed alone, predicted: ${each}. Shown is the ${coat} coat.`];
  if (!midCoats) return lines;
  const { coats: number, after, card } = midCoats;
  const told = card === null ? 'predicted' : `measured on ${card}`;
  const nearer = after < before ? '' : ', no nearer';
  return [
    ...lines,
    `With ${number} mid ${number === 1 ? 'coat' : 'coats'} instead of ${midCoats.now}: ${after.toFixed(1)} dE00, ${told}${nearer}.`,
  ];
}

const tooLittleKnown = ({ uncertain }: Pick<CorrectAnswer, 'uncertain'>): string[] =>
  notes(uncertain.length > 0 ? [`the book knows too little of ${uncertain.join(', ')} to rely on this`] : []);

const recomputing = (state: CorrectAnswer['state']): string[] =>
  state === 'recomputing' ? ['The toners are being learned anew; this is from the last fit.'] : [];
