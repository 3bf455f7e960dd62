/** The typed tree of one entry. Offsets count from the start of the entry's text, so that an entry may move without being read again. */
import type { Finding } from './finding.ts';
import type { ValueType } from './place.ts';
import type { EntryKind, Row } from './words.ts';

export interface Span {
  readonly from: number;
  readonly to: number;
}

/** What was written in one place. */
export interface Value extends Span {
  /** The place's name in the table of words. */
  readonly place: string;
  readonly type: ValueType;
  /** As meant: a text without its quotes, a number with its slips put right. */
  readonly text: string;
  readonly unit?: string;
  readonly unitSpan?: Span;
  /** The list of a `numbers` place. */
  readonly numbers?: Float64Array;
}

/** One line (a list of numbers with its continuations counts as one). A line that could not be read keeps what could. */
export interface Line extends Span {
  readonly word: string;
  readonly wordSpan: Span;
  /** The line's row in the table, where the word may stand here. */
  readonly row?: Row;
  /** The place values in the order written. */
  readonly values: readonly Value[];
  /** Literal words read on the line, such as `worst` or `every`. */
  readonly words: readonly Literal[];
  readonly comment?: Span;
  /** False when the line could not be read to its end. */
  readonly whole: boolean;
}

export interface Literal extends Span {
  readonly text: string;
}

/** Where an unread line of the other side of a merge conflict, or its marker, lies. */
export interface Entry {
  readonly kind: EntryKind | undefined;
  readonly head: Line | undefined;
  readonly lines: readonly Line[];
  /** Comment lines of their own, and lines of an unread side of a conflict. */
  readonly comments: readonly Span[];
  readonly conflicts: readonly Span[];
  readonly findings: readonly Finding[];
}

/** Asked more often than all else, so without an iterator, which code that has not been optimised yet has to make for each call. */
export function value(line: Line | undefined, place: string): Value | undefined {
  if (!line) return undefined;
  const { values } = line;
  for (let index = 0; index < values.length; index++) if (values[index]!.place === place) return values[index];
  return undefined;
}

export const text = (line: Line | undefined, place: string): string | undefined => value(line, place)?.text;

/** A plain number as a double; for weights use the text and exact rationals. */
export function number(line: Line | undefined, place: string): number | undefined {
  const found = value(line, place);
  return found === undefined ? undefined : Number(found.text);
}

export const says = (line: Line, word: string): boolean => line.words.some((one) => one.text === word);

export const linesOf = (entry: Entry, word: string): Line[] =>
  entry.lines.filter((line) => line.word === word && line.row !== undefined);

export function lineOf(entry: Entry, word: string): Line | undefined {
  for (const line of entry.lines) if (line.word === word && line.row !== undefined) return line;
  return undefined;
}

/** The first line of each word, where many words are asked for. */
export function firstLines(entry: Entry): ReadonlyMap<string, Line> {
  const found = new Map<string, Line>();
  for (const line of entry.lines) if (line.row !== undefined && !found.has(line.word)) found.set(line.word, line);
  return found;
}

/** The id that the entry defines. */
export const idOf = (entry: Entry): string | undefined => text(entry.head, 'id');
