/**
 * The main light of the book was changed. A Lab line that names no light is of the main one, so that lines which stand in both versions
 * would be of another light now, though nobody read anything anew: they are taken as they were read. A Lab cannot be told under another
 * light; a spectrum can.
 */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { angleAt, type Colours, coloursIn, coloursOf, labOf } from '../book/colours.ts';
import type { LabLine, Measured } from '../book/entries/measured.ts';
import { importedInto } from '../book/imported.ts';
import { measuredIn, shopOf } from '../book/known.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import type { ColoursOf, FormulaState } from './state.ts';
import type { Versions } from './versions.ts';

export interface LightMoved {
  readonly from: Viewing;
  readonly to: Viewing;
}

export function lightMoved({ before, after }: Versions): LightMoved | undefined {
  const [from, to] = [before, after].map(({ book }) => shopOf(book).viewings[0]!) as [Viewing, Viewing];
  return viewingText(from) === viewingText(to) ? undefined : { from, to };
}

/** Readings of the new version by the lights that they were read under. */
export const readAsBefore =
  ({ before, after }: Versions, { from, to }: LightMoved): ColoursOf =>
  (book, cell) => {
    const old = book === after.book && cell.name ? before.book.named(cell.name)[0] : undefined;
    if (!old) return coloursIn(book, cell);
    const known = new Set(linesOf(before.book, old).labs.filter(unnamed).map(written));
    const measured = linesOf(book, cell);
    const under = (line: LabLine): LabLine =>
      unnamed(line) && known.has(written(line)) ? { ...line, viewing: viewingText(from) } : line;
    return coloursOf({ ...measured, labs: measured.labs.map(under) }, to);
  };

/** Readings and cards with Lab lines that would be of another light now. */
export function meantOtherwise({ before, after }: Versions): number {
  let count = 0;
  for (const kind of ['reading', 'sprayout', 'drawdown'] as const) {
    for (const cell of after.book.ofKind(kind)) {
      const old = cell.name && before.book.named(cell.name)[0];
      if (!old) continue;
      const known = new Set(linesOf(before.book, old).labs.filter(unnamed).map(written));
      if (linesOf(after.book, cell).labs.some((line) => unnamed(line) && known.has(written(line)))) count++;
    }
  }
  return count;
}

const linesOf = (book: Book, cell: EntryCell): Measured => importedInto(book, cell, measuredIn(book, cell));

const unnamed = ({ viewing }: LabLine): boolean => viewing === undefined;

const written = ({ geometry, take, lab }: LabLine): string => [geometry, take, ...lab].join(' ');

/** What keeps a paint from being held against its standard under the new light; null where nothing does. */
export function notUnder(
  { from, to }: LightMoved,
  { standard, standardColours, card }: Pick<FormulaState, 'standard' | 'standardColours' | 'card'>,
): string | null {
  if (!standardColours) return null;
  const both = card ? [standardColours, card.colours] : [standardColours];
  const lacks = (colours: Colours): boolean =>
    colours.angles.some(
      (angle) => !labOf(angle, to, colours.bandpass) && both.every((one) => angleAt(one, angle.geometry)),
    );
  const lacking = [
    ...(lacks(standardColours) ? [standard!] : []),
    ...(card && lacks(card.colours) ? [`card ${card.id}`] : []),
  ];
  if (lacking.length === 0) return null;
  const [was, has] = lacking.length === 1 ? ['was', 'has'] : ['were', 'have'];
  return `${lacking.join(' and ')} ${was} read as Lab under ${viewingText(from)} and ${has} no spectrum that tells the colour under ${viewingText(to)}`;
}
