/** What may be written at the cursor: words of the entry, the next places of the line, names of the book. */
import {
  type CompletionItem,
  CompletionItemKind,
  type CompletionList,
  InsertTextFormat,
  type Position,
} from 'vscode-languageserver';
import { flatten, signature, type ValuePlace } from '../../grammar/place.ts';
import { headRows, type Namespace, type Row, rowsIn } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { ILLUMINANTS } from '../colour/illuminants.ts';
import { wordHelp } from './hover.ts';

export const TRIGGERS = [' ', '/', '"'];

export function completion(book: Book, file: BookFile, position: Position): CompletionList | null {
  const { index, offset } = file.locate(position);
  const cell = file.cells[index];
  const text = cell?.slice.text ?? '';
  const lineStart = text.lastIndexOf('\n', offset - 1) + 1;
  const before = text.slice(lineStart, offset);
  if (before.includes('#') || (before.split('"').length - 1) % 2 === 1) return null;
  const kind = cell?.entry.kind;
  if (/^\S*$/.test(before)) return list([...headRows.values()].map((row) => wordItem(row, '')));
  if (!kind) return null;
  if (/^[ \t]+\S*$/.test(before)) return list([...rowsIn(kind).values()].map((row) => wordItem(row, '')));
  const word = before.trim().split(/\s+/)[0]!;
  const row = rowsIn(kind).get(word) ?? (before.startsWith(word) ? headRows.get(word) : undefined);
  return row ? list(placeItems(book, row, before)) : null;
}

const list = (items: CompletionItem[]): CompletionList => ({ isIncomplete: false, items });

const wordItem = (row: Row, sort: string): CompletionItem => ({
  label: row.word,
  kind: CompletionItemKind.Keyword,
  detail: signature(row.places),
  documentation: { kind: 'markdown', value: wordHelp(row) },
  insertText: `${row.word} `,
  insertTextFormat: InsertTextFormat.PlainText,
  sortText: sort + row.word,
  command: { title: 'Suggest', command: 'editor.action.triggerSuggest' },
});

/** Words and names that any place of the row may hold; the editor narrows them by what is typed. */
function placeItems(book: Book, row: Row, before: string): CompletionItem[] {
  const items = new Map<string, CompletionItem>();
  const add = (item: CompletionItem) => items.set(item.label, item);
  const typed = new Set(before.trim().split(/\s+/));
  for (const place of flatten(row.places)) {
    if (place.is === 'word') {
      if (!typed.has(place.text)) add({ label: place.text, kind: CompletionItemKind.Keyword });
    } else for (const item of valueItems(book, place)) add(item);
  }
  return [...items.values()];
}

function valueItems(book: Book, place: ValuePlace): CompletionItem[] {
  switch (place.type) {
    case 'choice':
      return place.args.map((label) => ({ label, kind: CompletionItemKind.EnumMember }));
    case 'ref':
      return nameItems(book, place.args[0] as Namespace);
    case 'viewing':
      return ILLUMINANTS.map((illuminant) => ({ label: `${illuminant}/10`, kind: CompletionItemKind.Constant }));
    case 'operator':
      return ['<=', '>=', '<', '>', '='].map((label) => ({ label, kind: CompletionItemKind.Operator }));
    default:
      return [];
  }
}

/** Ids of a kind, the most used first. */
function nameItems(book: Book, space: Namespace): CompletionItem[] {
  return [...new Set(book.ids(space))].map((id) => {
    const cell = book.find(space, id);
    const name = cell?.entry.head?.values.find((value) => value.place === 'name')?.text;
    const uses = book.usersOf(`${space}:${id}`).size;
    return {
      label: id,
      kind: CompletionItemKind.Reference,
      sortText: `${String(99_999 - Math.min(uses, 99_999)).padStart(5, '0')} ${id}`,
      ...(name ? { detail: name } : {}),
    };
  });
}
