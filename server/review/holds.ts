/** Whether a stated fact held in one version of a book, though that version does not state it. */
import { Unanswerable } from '../answers/subject.ts';
import { findingsIn } from '../book/findings.ts';
import { formulaIn } from '../book/known.ts';
import { expectationsOf, type Standing } from './expectations.ts';
import type { Version } from './versions.ts';

export interface Held {
  readonly is: Standing | 'missing';
  readonly told: string;
}

/**
 * `expect` is a whole line, `expect sprayout worst <= 1.0 dE00`.
 * @throws Unanswerable for a line that cannot be read.
 */
export function holdsIn({ book }: Version, id: string, expect: string): Held {
  return standing(book, id, expect) ?? { is: 'missing', told: `there is no formula ${id} in it` };
}

function standing(book: Version['book'], id: string, expect: string): Held | undefined {
  const cell = book.find('formula', id);
  if (!cell) return undefined;
  const { file } = cell;
  const index = file.indexOf(cell);
  const lines = cell.slice.text.trimEnd();
  const before = file.text.slice(0, file.offsetOf(index));
  const whole = file.text;
  book.setFile(
    file.uri,
    `${before}${lines}\n  ${expect}\n${cell.slice.text.slice(lines.length)}${whole.slice(before.length + cell.slice.text.length)}`,
  );
  try {
    const now = book.find('formula', id)!;
    const at = now.slice.text.lastIndexOf(expect);
    const line = formulaIn(book, now).expectations.findLast((one) => one.line.wordSpan.from === at);
    if (!line) {
      const problem = findingsIn(book, now).find((one) => one.from >= at);
      throw new Unanswerable(
        `'${expect}' cannot be read. ${problem?.problem ?? ''} Write for example: expect sprayout worst <= 1.0 dE00`,
      );
    }
    const found = expectationsOf({ book }, now).find(({ from }) => from === at)!;
    return { is: found.is, told: found.told };
  } finally {
    book.setFile(file.uri, whole);
  }
}
