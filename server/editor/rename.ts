/** Renames an id everywhere. A name that is no id, or is taken, is refused with the reason; edits carry each file's version. */
import {
  type Position,
  type Range,
  ResponseError,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Namespace } from '../../grammar/words.ts';
import { type Book, parentOf } from '../book/book.ts';
import type { EntryCell, Name } from '../book/cell.ts';
import type { BookFile } from '../book/file.ts';
import { nameAt } from './definition.ts';
import { nameSpan, rangeIn } from './places.ts';

const REFUSED = -32803; // LSP: RequestFailed

export function prepareRename(
  book: Book,
  file: BookFile,
  position: Position,
): { range: Range; placeholder: string } | null {
  const found = nameAt(book, file, position);
  if (!found || book.named(found.name).length === 0) return null;
  return { range: rangeIn(file, found.index, found.span), placeholder: idIn(found.name) };
}

export function rename(
  book: Book,
  file: BookFile,
  position: Position,
  to: string,
  documentOf: DocumentOf,
): WorkspaceEdit | null {
  const found = nameAt(book, file, position);
  if (!found || book.named(found.name).length === 0) return null;
  const space = found.name.slice(0, found.name.indexOf(':')) as Namespace;
  const from = idIn(found.name);
  const wanted = inSamePlace(to.normalize('NFC'), from);
  if (wanted === from) return null;
  refuse(book, space, from, wanted);
  const edits = new Map<string, TextEdit[]>();
  for (const { cell, span, text } of places(book, space, from, wanted)) {
    const list = edits.get(cell.file.uri) ?? [];
    edits.set(cell.file.uri, list);
    list.push({ range: rangeIn(cell.file, cell.file.indexOf(cell), span), newText: text });
  }
  const documentChanges = [...edits].map(
    ([uri, list]): TextDocumentEdit => ({ textDocument: documentOf(uri), edits: list }),
  );
  return { documentChanges };
}

/** How the editor spells the file, and the version that it has open; null for a file that is not open. */
export type DocumentOf = (uri: string) => { uri: string; version: number | null };

/** A last part alone stays below its parent. */
const inSamePlace = (to: string, from: string): string =>
  from.includes('/') && !to.includes('/') ? `${parentOf(from)}/${to}` : to;

const idIn = (name: Name): string => name.slice(name.indexOf(':') + 1);

function refuse(book: Book, space: Namespace, from: string, to: string): void {
  const parts = to.split('/');
  if (!parts.every((part) => /^[\p{L}\d](?:[\p{L}\d_-]|\.(?!\.))*$/u.test(part)) || /^\d+\.\d+$/.test(to)) {
    throw new ResponseError(
      REFUSED,
      `'${to}' cannot be an id: letters, digits, _ . and -, beginning with a letter or digit.`,
    );
  }
  if (parentOf(to) !== parentOf(from)) {
    const advice =
      space === 'formula'
        ? "Only the last part of a variant's path can be renamed."
        : "Only the ids of variants have '/' in them.";
    throw new ResponseError(REFUSED, `'${to}' would move ${from} to another parent. ${advice}`);
  }
  const taken = [...book.ids(space)].find((id) => id.toLowerCase() === to.toLowerCase() && id !== from);
  if (taken === to) throw new ResponseError(REFUSED, `There is already a ${space} '${taken}' in the book.`);
  if (taken) {
    throw new ResponseError(
      REFUSED,
      `There is a ${space} '${taken}' in the book, and '${to}' differs in capitals only.`,
    );
  }
}

/** Every span that holds the id, those of variants below it included: their path begins with it. */
function* places(
  book: Book,
  space: Namespace,
  from: string,
  to: string,
): Generator<{ cell: EntryCell; span: { from: number; to: number }; text: string }> {
  const done = new Set<string>();
  for (const id of new Set([
    from,
    ...(space === 'formula' ? [...book.ids(space)].filter((one) => one.startsWith(`${from}/`)) : []),
  ])) {
    const name: Name = `${space}:${id}`;
    const spans = [
      ...book.named(name).map((cell) => ({ cell, span: nameSpan(cell) })),
      ...[...book.usersOf(name)].flatMap((cell) =>
        book
          .mentionsIn(cell)
          .filter((one) => one.name === name)
          .map(({ value }) => ({ cell, span: value })),
      ),
    ];
    for (const { cell, span } of spans) {
      const key = `${cell.file.uri} ${cell.file.offsetOf(cell.file.indexOf(cell)) + span.from}`;
      if (done.has(key)) continue;
      done.add(key);
      // As long as it is written there, which may be more units than in its composed form.
      const written = cell.slice.text.slice(span.from, span.to).split('/').slice(0, from.split('/').length).join('/');
      yield { cell, span: { from: span.from, to: span.from + written.length }, text: to };
    }
  }
}
