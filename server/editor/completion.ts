/** What may be written at the cursor: by the table of words and by the names of the book, the likeliest first. */
import {
  type CompletionItem,
  CompletionItemKind,
  type CompletionList,
  InsertTextFormat,
  type Position,
  type Range,
} from 'vscode-languageserver';
import { type AtCursor, placesAt } from '../../grammar/at-cursor.ts';
import type { Expected } from '../../grammar/expect.ts';
import { dimensionsOf, signature, type ValuePlace } from '../../grammar/place.ts';
import { snippets } from '../../grammar/snippets.ts';
import { linesOf } from '../../grammar/tree.ts';
import { headRows, type Row } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { ILLUMINANTS } from '../colour/illuminants.ts';
import { type Dimension, unitsOf } from '../exact/units.ts';
import { wordHelp } from './hover.ts';
import { inOrder } from './in-order.ts';
import { rangeIn } from './places.ts';
import { geometriesFor, greysFor, namesSaid, rankedIds } from './suggestions.ts';

export const TRIGGERS = [' ', '/'];

export interface CompletionOptions {
  /** Does the editor take snippets, and has none of its own for this language? */
  readonly snippets: boolean;
  /** The editor's command that asks for suggestions again, behind a word that something has to follow. */
  readonly suggestAgain?: string;
}

const MOST = 200;

/** One thing that may be written; the order of the list is the order of offers. */
interface Offer {
  readonly label: string;
  readonly kind: CompletionItemKind;
  readonly detail?: string;
  readonly documentation?: string;
  /** What is written, when it is not the label. */
  readonly write?: string;
  readonly isSnippet?: boolean;
  readonly goesOn?: boolean;
}

export function completion(
  book: Book,
  file: BookFile,
  position: Position,
  options: CompletionOptions,
): CompletionList | null {
  const { index, offset } = file.locate(position);
  const cell = file.cells[index];
  const at = placesAt(cell?.slice.text ?? '', offset, cell?.entry);
  if (!at || at.typed.startsWith('"')) return null;
  const range = cell ? rangeIn(file, index, at.replace) : { start: position, end: position };
  const offers = [...wordOffers(at, options), ...at.expected.flatMap((one) => offersFor(book, cell, at, one))];
  const fitting = offers.filter(({ label }) => inOrder(at.typed, label));
  return {
    isIncomplete: fitting.length > MOST,
    items: fitting.slice(0, MOST).map((offer, rank) => itemOf(offer, rank, range, options)),
  };
}

function itemOf(offer: Offer, rank: number, range: Range, { suggestAgain }: CompletionOptions): CompletionItem {
  return {
    label: offer.label,
    kind: offer.kind,
    sortText: String(rank).padStart(4, '0'),
    // The whole atom is replaced, so that `BLK-` and `BLK-1` do not become `BLK-BLK-1`.
    textEdit: { range, newText: offer.write ?? offer.label },
    ...(offer.detail ? { detail: offer.detail } : {}),
    ...(offer.documentation ? { documentation: { kind: 'markdown', value: offer.documentation } } : {}),
    ...(offer.isSnippet ? { insertTextFormat: InsertTextFormat.Snippet } : {}),
    ...(offer.goesOn && suggestAgain ? { command: { title: 'Suggest', command: suggestAgain } } : {}),
  };
}

function wordOffers({ words }: AtCursor, options: CompletionOptions): Offer[] {
  const offers = words.map(wordOffer);
  if (!options.snippets || !words.some((row) => row.head)) return offers;
  return [...offers, ...entryOffers()];
}

const wordOffer = (row: Row): Offer => ({
  label: row.word,
  kind: CompletionItemKind.Keyword,
  detail: signature(row.places),
  documentation: wordHelp(row),
  write: `${row.word} `,
  goesOn: true,
});

/** New entries with the lines that they usually have. */
function entryOffers(): Offer[] {
  const all = snippets();
  return [...headRows.keys()].flatMap((kind) => {
    const found = all[`${kind} entry`];
    if (!found) return [];
    const write = found.body.join('\n');
    return [{ label: `${kind} …`, kind: CompletionItemKind.Snippet, detail: 'a new entry', write, isSnippet: true }];
  });
}

function offersFor(book: Book, cell: EntryCell | undefined, at: AtCursor, expected: Expected): Offer[] {
  if (expected.is === 'word') return [{ label: expected.text, kind: CompletionItemKind.Keyword, goesOn: true }];
  if (expected.is === 'unit') return unitOffers(dimensionsAt(expected.place, at), '');
  if (expected.is === 'lightness') return [];
  return valueOffers(book, cell, at, expected.place);
}

function valueOffers(book: Book, cell: EntryCell | undefined, at: AtCursor, place: ValuePlace): Offer[] {
  const listed = (labels: Iterable<string>, kind: CompletionItemKind): Offer[] =>
    [...labels].map((label) => ({ label, kind }));
  switch (place.type) {
    case 'choice':
      return listed(place.args, CompletionItemKind.EnumMember);
    case 'ref':
      return idOffers(book, cell, at, place);
    case 'new':
      return at.kind === 'variant' ? parentOffers(book, cell) : [];
    case 'name':
      return listed(at.row ? namesSaid(book, at.row, place) : [], CompletionItemKind.Value);
    case 'quantity':
      return /^\d+(\.\d+)?$/.test(at.typed) ? unitOffers(dimensionsOf(place), `${at.typed} `) : [];
    case 'geometry':
      return listed(geometriesFor(book, cell), CompletionItemKind.EnumMember);
    case 'grey':
      return listed(greysFor(book, at.line), CompletionItemKind.EnumMember);
    case 'viewing':
      return listed(viewings(book), CompletionItemKind.EnumMember);
    case 'operator':
      return listed(['<=', '>=', '<', '>', '='], CompletionItemKind.Operator);
    default:
      return [];
  }
}

function idOffers(book: Book, cell: EntryCell | undefined, at: AtCursor, place: ValuePlace): Offer[] {
  return rankedIds(book, cell, at, place).map(({ id, name }) => ({
    label: id,
    kind: CompletionItemKind.Reference,
    ...(name ? { detail: name } : {}),
  }));
}

/** The paths that a new variant may begin with. */
const parentOffers = (book: Book, cell: EntryCell | undefined): Offer[] =>
  [...new Set(book.ids('formula'))]
    .filter((id) => `formula:${id}` !== cell?.name)
    .sort()
    .map((id) => ({ label: `${id}/`, kind: CompletionItemKind.Reference }));

const unitOffers = (dimensions: readonly Dimension[], before: string): Offer[] =>
  dimensions
    .flatMap((dimension) => unitsOf(dimension))
    .map(({ symbol }) => ({ label: before + symbol, kind: CompletionItemKind.Unit }));

const METRICS: Readonly<Record<string, readonly Dimension[]>> = {
  sprayout: ['colour difference'],
  predicted: ['colour difference'],
  voc: ['density'],
  cost: ['price per mass', 'price per volume', 'money'],
  share: ['share'],
  pour: ['mass'],
};

/** An expectation's unit hangs on what is expected. */
function dimensionsAt(place: ValuePlace, { line }: AtCursor): readonly Dimension[] {
  if (place.type !== 'measure') return dimensionsOf(place);
  return METRICS[linesWord(line) ?? ''] ?? [];
}

const linesWord = (line: AtCursor['line']): string | undefined => line?.words[0]?.text;

/** Those of the shop first, its main one at the front; then the others with the ten-degree and the two-degree observer. */
function viewings(book: Book): Set<string> {
  const own = book
    .shops()
    .flatMap(({ entry }) => linesOf(entry, 'illuminants').flatMap((line) => line.values.map((one) => one.text)));
  return new Set([...own, ...[10, 2].flatMap((observer) => ILLUMINANTS.map((name) => `${name}/${observer}`))]);
}
