/**
 * Atoms of one line as Chevrotain tokens. An atom is a maximal run of non-blanks; what it means is decided by the place where it
 * stands, so every kind of atom also is an `Atom`, and an id place takes any of them. The line scanner is our own, since a generic
 * lexer would tear `2026-10-14-A` or `12345` apart by shape.
 */
import { createToken, type IToken, type TokenType } from 'chevrotain';
import { unit } from '../server/exact/units.ts';
import type { Finding } from './finding.ts';
import { flatten } from './place.ts';
import { rows } from './words.ts';

const kind = (name: string, categories: TokenType[] = []): TokenType =>
  createToken({ name, pattern: /(?!)/, categories });

export const Atom = kind('Atom');
export const Unit = kind('Unit');
export const NumberLike = kind('NumberLike', [Atom]);
export const Operator = kind('Operator', [Atom]);
/** An atom of no other kind: most ids, and most slips. */
export const Plain = kind('Plain', [Atom]);
export const PlainUnit = kind('PlainUnit', [Atom, Unit]);
export const Decimal = kind('Decimal', [NumberLike]);
/** A number with its unit or a wrong sign or comma in it; read, with a finding. */
export const Slip = kind('Slip', [NumberLike]);
export const DateAtom = kind('Date', [Atom]);
export const GeometryAtom = kind('Geometry', [Atom]);
export const ViewingAtom = kind('Viewing', [Atom]);
export const RangeAtom = kind('Range', [Atom]);
export const GreyAtom = kind('Grey', [Atom]);
export const LStar = kind('LStar', [Atom]);
export const Text = kind('Text');
export const NumberRun = kind('NumberRun');

/** Each word that a place of the table may hold has a token type of its own. */
export const wordTokens: ReadonlyMap<string, TokenType> = new Map(
  [...literals()].map((word) => [
    word,
    kind(`'${word}'`, [Atom, ...(unit(word) ? [Unit] : []), ...(/^[<>=]+$/.test(word) ? [Operator] : [])]),
  ]),
);

function literals(): Set<string> {
  const found = new Set<string>(['=']);
  for (const row of rows) {
    for (const place of flatten(row.places)) {
      if (place.is === 'word') found.add(place.text);
      else if (place.type === 'choice') for (const word of place.args) found.add(word);
    }
  }
  return found;
}

export const vocabulary: TokenType[] = [
  Atom,
  Unit,
  NumberLike,
  Operator,
  Plain,
  PlainUnit,
  Decimal,
  Slip,
  DateAtom,
  GeometryAtom,
  ViewingAtom,
  RangeAtom,
  GreyAtom,
  LStar,
  Text,
  NumberRun,
  ...wordTokens.values(),
];

const DECIMAL = /^[+-]?\d+(\.\d+)?$/;
const SLIP = /^[+\-\u2212]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?(\p{L}[\p{L}\d/]*|%)?$/u;
const DATE = /^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?)?$/;
const GEOMETRY = /^(\d+as-?\d+|\d+\/\d+|d\/\d+|\d+\/d)$/;
const VIEWING = /^[A-Z][A-Za-z0-9-]*\/(2|10)$/;
const RANGE = /^\d+(\.\d+)?\.\.(\d+(\.\d+)?(\/\d+(\.\d+)?)?)?$/;
const GREY = /^N\d+(\.\d+)?$/;

function typeOf(image: string): TokenType {
  const word = wordTokens.get(image);
  if (word) return word;
  if (DECIMAL.test(image)) return Decimal;
  if (DATE.test(image)) return DateAtom;
  if (GEOMETRY.test(image)) return GeometryAtom;
  if (RANGE.test(image)) return RangeAtom;
  if (GREY.test(image)) return GreyAtom;
  if (VIEWING.test(image)) return ViewingAtom;
  if (image === 'L*') return LStar;
  if (/^[<>=]=?$/.test(image)) return Operator;
  if (unit(image)) return PlainUnit;
  return SLIP.test(image) ? Slip : Plain;
}

export interface ScannedLine {
  /** The first atom's word; the rest are `tokens`. */
  readonly word: string;
  readonly wordFrom: number;
  readonly tokens: IToken[];
  /** Offset of the comment's `#`, or -1. */
  readonly comment: number;
}

const BLANK = /[ \t\r\v\f\u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff]+/y;
const ODD_BLANK = /[\v\f\u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff]|\r(?!$)/g;
const ATOM = /[^ \t\r\v\f\u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff"\n]+/y;
const TEXT = /"(?:[^"\\]|\\.)*("?)/y;

/**
 * Scans `text[from, to)`, one line without its line end (or, for a list of numbers, the line and its continuations).
 * `isList(word)` says that after this word a range opens a list of numbers.
 */
export function scanLine(
  text: string,
  from: number,
  to: number,
  isList: (word: string) => boolean,
  findings: Finding[],
): ScannedLine {
  const line = text.slice(from, to);
  for (const odd of line.matchAll(ODD_BLANK)) findings.push(oddBlank(from + odd.index, odd[0]));
  const tokens: IToken[] = [];
  let word = '';
  let wordFrom = from;
  let comment = -1;
  let at = skip(BLANK, line, 0);
  while (at < line.length) {
    if (line[at] === '#') {
      comment = from + at;
      break;
    }
    const start = at;
    let type: TokenType | undefined;
    if (word !== '' && tokens.at(-1)?.tokenType === RangeAtom && isList(word)) {
      at = endOfNumbers(line, at);
      if (at > start) type = NumberRun;
    }
    if (type === undefined && line[at] === '"') {
      TEXT.lastIndex = at;
      const match = TEXT.exec(line)!;
      at = TEXT.lastIndex;
      type = Text;
      if (match[1] === '') findings.push(openText(from + start, from + at));
    } else if (type === undefined) {
      at = skip(ATOM, line, at);
      if (line[at] === '"' && at > start) findings.push(gluedText(from + at));
    }
    const image = line.slice(start, at);
    if (word === '' && tokens.length === 0 && type === undefined) {
      word = image;
      wordFrom = from + start;
    } else tokens.push(token(image, from + start, type ?? typeOf(image)));
    at = skip(BLANK, line, at);
    while (line[at] === '\n') at = skip(BLANK, line, at + 1);
  }
  return { word, wordFrom, tokens, comment };
}

function skip(pattern: RegExp, line: string, at: number): number {
  pattern.lastIndex = at;
  return pattern.test(line) ? pattern.lastIndex : at;
}

const NUMBERS = /[+-]?\d+(?:\.\d+)?(?=[\s#]|$)(?:(?:[ \t]+|[ \t]*\r?\n[ \t]+)[+-]?\d+(?:\.\d+)?(?=\s|$))*/y;
const endOfNumbers = (line: string, at: number): number => skip(NUMBERS, line, at);

const token = (image: string, startOffset: number, tokenType: TokenType): IToken => ({
  image,
  startOffset,
  endOffset: startOffset + image.length - 1,
  tokenType,
  tokenTypeIdx: tokenType.tokenTypeIdx!,
});

function oddBlank(at: number, char: string): Finding {
  const code = `U+${char.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`;
  const lineEnd = /[\r\v\f\u0085\u2028\u2029]/.test(char);
  return {
    code: 'odd-blank',
    severity: 'warning',
    from: at,
    to: at + 1,
    problem: lineEnd
      ? `The character ${code} stands here; it ends no line.`
      : `An invisible character (${code}) stands here instead of a blank.`,
    remedy: lineEnd ? 'End the line with the Enter key, or write a blank.' : 'Write an ordinary blank.',
    fixes: [{ title: 'Write an ordinary blank', edits: [{ from: at, to: at + 1, text: ' ' }], sure: !lineEnd }],
  };
}

const openText = (from: number, to: number): Finding => ({
  code: 'text-open',
  severity: 'error',
  from,
  to,
  problem: 'The text in quotes does not end on its line.',
  remedy: 'Close it with " on the same line.',
  fixes: [{ title: 'Close the text with "', edits: [{ from: to, to, text: '"' }] }],
});

const gluedText = (at: number): Finding => ({
  code: 'text-glued',
  severity: 'warning',
  from: at,
  to: at + 1,
  problem: 'A text in quotes begins without a blank before it.',
  remedy: 'Write a blank before the ".',
  fixes: [{ title: 'Write a blank before "', edits: [{ from: at, to: at, text: ' ' }], sure: true }],
});
