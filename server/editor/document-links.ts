/** The open-format files that readings and cards name, as links. */
import type { DocumentLink } from 'vscode-languageserver';
import { linesOf, value } from '../../grammar/tree.ts';
import { importUri } from '../book/book.ts';
import type { BookFile } from '../book/file.ts';
import { rangeIn } from './places.ts';

export function documentLinks(file: BookFile): DocumentLink[] {
  return file.cells.flatMap(({ entry }, index) =>
    linesOf(entry, 'file').flatMap((line) => {
      const named = value(line, 'file');
      const target = named && importUri(file.uri, named.text);
      if (!named || !target) return [];
      // Without the quotes.
      const inside = { from: named.from + 1, to: Math.max(named.from + 1, named.to - 1) };
      return [{ range: rangeIn(file, index, inside), target }];
    }),
  );
}
