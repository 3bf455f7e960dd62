/** What is predicted, in few words behind the lines it belongs to: the standard and the undercoat of a formula. */
import { type Line, lineOf } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { angleAt, coloursIn, labOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { settledHiding } from '../book/optics/hiding.ts';
import { type PredictedColour, type Prediction, predictedIn } from '../book/optics/predicted.ts';
import { recipeIn } from '../book/recipe.ts';
import { difference } from '../colour/difference.ts';
import { benchDifference, labFigures, plusMinusFigure } from './number.ts';

export interface PredictedHint {
  readonly line: Line;
  readonly text: string;
  readonly tooltip: string;
}

/** Nothing for an entry that is no formula, and nothing that would have to be worked out while one types. */
export function predictedHints(book: Book, cell: EntryCell): PredictedHint[] {
  const { kind } = cell.entry;
  if (kind !== 'formula' && kind !== 'variant') return [];
  const standard = standardHint(book, cell);
  return [...(standard.length > 0 ? standard : colourHint(book, cell)), ...undercoatHint(cell)];
}

function standardHint(book: Book, cell: EntryCell): PredictedHint[] {
  const line = lineOf(cell.entry, 'standard');
  const named = line && recipeIn(book, cell).standard;
  const standard = named && book.find('reading', named.is);
  const found = standard && predictedIn(book, cell);
  if (!line || !found || 'none' in found) return [];
  const main = shopOf(book).viewings[0]!;
  const read = coloursIn(book, standard);
  const angles = found.colours.flatMap(({ geometry, viewing, lab, plusMinus }) => {
    const angle = viewing === main ? angleAt(read, geometry) : undefined;
    const wanted = angle && labOf(angle, main, read.bandpass);
    return wanted ? [{ geometry, plusMinus, dE: difference('dE00', wanted, lab) }] : [];
  });
  if (angles.length === 0) return [];
  const worst = angles.reduce((far, one) => (one.dE > far.dE ? one : far));
  const text = `~${benchDifference(worst.dE)} ± ${plusMinusFigure(worst.plusMinus)} dE00 predicted`;
  const state = found.state === 'recomputing' ? ', recomputing' : '';
  return [
    {
      line,
      text: `${text}${state}`,
      tooltip: `Predicted ${found.basis}, not measured: at ${worst.geometry}, the worst angle. 9 of 10 cards fall within the ±.\n${coloursText(book, found)}`,
    },
  ];
}

/** Behind the head of a formula that is held against nothing: the colour that it is predicted to have. */
function colourHint(book: Book, cell: EntryCell): PredictedHint[] {
  const { head } = cell.entry;
  const found = predictedIn(book, cell);
  if (!head?.whole || 'none' in found) return [];
  const colours = inMainLight(book, found);
  const shown = colours.find(({ geometry }) => geometry === '45as45') ?? colours[0];
  if (!shown) return [];
  const state = found.state === 'recomputing' ? ', recomputing' : '';
  return [
    {
      line: head,
      text: `~${labText(shown)} at ${shown.geometry}, predicted${state}`,
      tooltip: `L* a* b*, predicted ${found.basis}, not measured. 9 of 10 cards fall within the ± dE00.\n${coloursText(book, found)}`,
    },
  ];
}

const inMainLight = (book: Book, { colours }: Prediction): PredictedColour[] =>
  colours.filter(({ viewing }) => viewing === shopOf(book).viewings[0]);

const labText = ({ lab, plusMinus }: PredictedColour): string =>
  `${labFigures(lab, 0).join(' ')} ± ${plusMinusFigure(plusMinus)}`;

const coloursText = (book: Book, found: Prediction): string =>
  inMainLight(book, found)
    .map((colour) => `${colour.geometry}: ~${labText(colour)}`)
    .join('\n');

function undercoatHint(cell: EntryCell): PredictedHint[] {
  const line = lineOf(cell.entry, 'undercoat');
  const hiding = line && settledHiding(cell);
  if (!line || !hiding?.named) return [];
  const { named, best, relative } = hiding;
  const here = named.coats === null ? 'does not hide' : `~${named.coats.toFixed(1)} coats`;
  const other =
    best && best.coats !== null ? `, best grey N${Number(best.munsellValue.toFixed(1))} ~${best.coats.toFixed(1)}` : '';
  return [
    {
      line,
      text: `${here}${other} predicted`,
      tooltip: `Coats to hide over ${named.formula === undefined ? 'this grey' : 'this coloured undercoat'} and over the best grey, predicted${relative ? '; relative, since no film of known thickness was read' : ''}. A card decides.`,
    },
  ];
}
