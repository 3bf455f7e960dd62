import type { Position } from '../../../server/book/file.ts';

/** The reference: a position by counting line ends (LF, CRLF) in the whole text. */
export function positionAt(text: string, offset: number): Position {
  const before = text.slice(0, offset).split('\n');
  return { line: before.length - 1, character: before.at(-1)!.length };
}

/** No position lies between the two characters of a line end. */
export const beforeLineEnd = (text: string, offset: number): number =>
  text[offset - 1] === '\r' && text[offset] === '\n' ? offset - 1 : offset;
