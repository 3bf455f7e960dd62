/**
 * Scans one line into its word, its atoms and its comment, in one pass over the characters: a generic lexer would tear
 * `2026-10-14-A` or `12345` apart by shape, and no line, however long, may take more than its length in time.
 */
import type { IToken, TokenType } from 'chevrotain';
import type { Finding } from './finding.ts';
import { NumberRun, RangeAtom, SLIP, Text, typeOf } from './tokens.ts';
import type { Span } from './tree.ts';

export interface ScannedLine {
  /** The first atom's word; the rest are `tokens`. */
  word: string;
  wordFrom: number;
  readonly tokens: IToken[];
  /** Offset of the `#` of the comment that ends the line, or -1. */
  comment: number;
  /** Comments inside a list of numbers, each at the end of its line. */
  readonly inner: Span[];
}

const TAB = 0x09;
const NEWLINE = 0x0a;
const RETURN = 0x0d;
const BLANK = 0x20;
const QUOTE = 0x22;
const HASH = 0x23;
const PLUS = 0x2b;
const MINUS = 0x2d;
const POINT = 0x2e;
const BACKSLASH = 0x5c;
const BOM = 0xfeff;

/** Characters that show as blanks, as nothing or as a line end, and are none in this language. */
export const isOdd = (code: number): boolean =>
  code < 0x80
    ? code >= 0x0b && code <= 0x0d
    : code === 0x85 ||
      code === 0xa0 ||
      code === 0x1680 ||
      (code >= 0x2000 && code <= 0x200b) ||
      code === 0x2028 ||
      code === 0x2029 ||
      code === 0x202f ||
      code === 0x205f ||
      code === 0x2060 ||
      code === 0x3000 ||
      code === BOM;

const endsLines = (code: number): boolean => isOdd(code) && (code < 0x86 || code === 0x2028 || code === 0x2029);

/** Scans `text[from, to)`: one line without its line end or, for a list of numbers, the line with those on which it goes on. */
export function scanLine(text: string, from: number, to: number, list: boolean, findings: Finding[]): ScannedLine {
  const line: ScannedLine = { word: '', wordFrom: from, tokens: [], comment: -1, inner: [] };
  const { tokens } = line;
  let at = from;
  let hasWord = false;
  let last: TokenType | undefined;
  let isGlued = false;
  const sayGlued = (start: number): void => {
    if (!isGlued) findings.push(glued(start));
    isGlued = true;
  };
  for (;;) {
    const gap = at;
    at = skipBlanks(text, at, to, findings);
    if (at >= to) break;
    const code = text.charCodeAt(at);
    if (code === HASH && (at > gap || at === from)) {
      const newline = list ? text.indexOf('\n', at) : -1;
      if (newline >= 0 && newline < to) {
        line.inner.push({ from: at, to: text[newline - 1] === '\r' ? newline - 1 : newline });
        at = newline;
        continue;
      }
      line.comment = at;
      oddInside(text, at, to, findings);
      break;
    }
    const start = at;
    if (list && last === RangeAtom) {
      at = scanNumbers(text, at, to, line, findings);
      if (at > start) {
        last = NumberRun;
        if (line.comment >= 0) break;
        continue;
      }
    }
    if (code === QUOTE) {
      at = scanText(text, at, to, findings);
      if (start === gap && start > from) sayGlued(start);
      last = Text;
      tokens.push(new Token(text.slice(start, at), start, Text));
      continue;
    }
    at = atomEnd(text, at, to);
    if (start === gap && start > from) sayGlued(start);
    const image = text.slice(start, at);
    if (!hasWord && tokens.length === 0) {
      hasWord = true;
      line.word = image;
      line.wordFrom = start;
    } else {
      last = typeOf(image);
      tokens.push(new Token(image, start, last));
    }
  }
  return line;
}

/** One shape for all tokens keeps the parser's property reads fast. */
export class Token implements IToken {
  readonly endOffset: number;
  readonly tokenTypeIdx: number;
  payload: Float64Array | undefined = undefined;

  constructor(
    readonly image: string,
    readonly startOffset: number,
    readonly tokenType: TokenType,
    endOffset = startOffset + image.length - 1,
  ) {
    this.endOffset = endOffset;
    this.tokenTypeIdx = tokenType.tokenTypeIdx!;
  }
}

function skipBlanks(text: string, from: number, to: number, findings: Finding[]): number {
  let at = from;
  while (at < to) {
    const code = text.charCodeAt(at);
    if (code === BLANK || code === TAB || code === NEWLINE) at++;
    else if (code === RETURN && text.charCodeAt(at + 1) === NEWLINE) at++;
    else if (isOdd(code)) {
      let end = at + 1;
      while (end < to && text.charCodeAt(end) === code) end++;
      // A BOM at the start of the text is the file's; an entry's text begins with one nowhere else.
      if (code !== BOM || at > 0) findings.push(odd(at, end, code));
      at = end;
    } else return at;
  }
  return at;
}

/** Only what an editor may take for a line end is wrong inside texts and comments. */
function oddInside(text: string, from: number, to: number, findings: Finding[]): void {
  for (let at = from; at < to; at++) {
    const code = text.charCodeAt(at);
    if ((code < BLANK || code > 0x7e) && endsLines(code)) {
      findings.push(odd(at, at + 1, code));
      return;
    }
  }
}

function atomEnd(text: string, from: number, to: number): number {
  let at = from;
  while (at < to) {
    const code = text.charCodeAt(at);
    if (code === BLANK || code === QUOTE || code === TAB || code === NEWLINE) return at;
    if ((code < BLANK || code > 0x7e) && isOdd(code)) return at;
    at++;
  }
  return at;
}

function scanText(text: string, from: number, to: number, findings: Finding[]): number {
  let at = from + 1;
  let wrong = -1;
  let lineEnd = to;
  for (; at < to; at++) {
    const code = text.charCodeAt(at);
    if (code === QUOTE) {
      at++;
      if (wrong >= 0) findings.push(wrongEscape(text, wrong));
      oddInside(text, from, at, findings);
      return at;
    }
    if (code === NEWLINE) {
      lineEnd = at;
      break;
    }
    if (code !== BACKSLASH) continue;
    const next = at + 1 < to ? text.charCodeAt(at + 1) : NEWLINE;
    if (next === NEWLINE) continue;
    if (next !== QUOTE && next !== BACKSLASH && wrong < 0) wrong = at;
    at++;
  }
  while (lineEnd > from + 1 && /[ \t\r]/.test(text[lineEnd - 1]!)) lineEnd--;
  findings.push(openText(from, lineEnd));
  return lineEnd;
}

/** Numbers read so far; grown when a longer list comes, and copied out, so that lists cost no boxed numbers. */
let buffer = new Float64Array(256);
/** Where `plainNumber` stopped. */
let numberEnd = 0;

/**
 * Reads a run of numbers over blanks, line ends and the comments between, and pushes it as one token with the numbers as payload.
 * It ends at the first atom that is no number.
 */
function scanNumbers(text: string, from: number, to: number, line: ScannedLine, findings: Finding[]): number {
  let size = 0;
  let at = from;
  let end = from;
  let comment = -1;
  while (at < to) {
    const code = text.charCodeAt(at);
    if (code === BLANK || code === TAB) at++;
    else if (code === NEWLINE || (code === RETURN && text.charCodeAt(at + 1) === NEWLINE)) {
      if (comment >= 0) line.inner.push({ from: comment, to: at });
      comment = -1;
      at++;
    } else if (code === HASH && at > end) {
      comment = at;
      at = lineEndAfter(text, at, to);
    } else {
      let value = plainNumber(text, at, to);
      if (Number.isNaN(value)) value = slipNumber(text, at, to, findings);
      if (Number.isNaN(value)) break;
      if (size === buffer.length) buffer = grown(buffer);
      buffer[size++] = value;
      at = numberEnd;
      end = at;
    }
  }
  if (size === 0) return from;
  const token = new Token(text.slice(from, end), from, NumberRun);
  token.payload = buffer.slice(0, size);
  line.tokens.push(token);
  line.comment = comment;
  return comment >= 0 ? to : end;
}

function grown(small: Float64Array<ArrayBuffer>): Float64Array<ArrayBuffer> {
  const large = new Float64Array(small.length * 2);
  large.set(small);
  return large;
}

function lineEndAfter(text: string, at: number, to: number): number {
  const newline = text.indexOf('\n', at);
  if (newline < 0 || newline > to) return to;
  return text.charCodeAt(newline - 1) === RETURN ? newline - 1 : newline;
}

/**
 * The number that begins at `from`, or NaN when the atom there is none. Up to 15 digits are exact in a double and so are powers of ten
 * up to 10^22, so that one division rounds correctly; longer numbers go the slow way.
 */
function plainNumber(text: string, from: number, to: number): number {
  const sign = text.charCodeAt(from);
  const first = sign === MINUS || sign === PLUS ? from + 1 : from;
  const limit = Math.min(to, first + MOST_DIGITS + 1);
  let digits = 0;
  let point = -1;
  let at = first;
  for (; at < limit; at++) {
    const code = text.charCodeAt(at);
    if (code >= 0x30 && code <= 0x39) digits = digits * 10 + (code - 0x30);
    else if (code === POINT && point < 0 && at > first) point = at;
    else break;
  }
  if (at === first || at - 1 === point) return Number.NaN;
  if (at < to && !endsNumber(text.charCodeAt(at))) return longNumber(text, from, to);
  numberEnd = at;
  const size = point < 0 ? digits : digits / TENS[at - point - 1]!;
  return sign === MINUS ? -size : size;
}

const MOST_DIGITS = 15;
const TENS = Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));
const endsNumber = (code: number): boolean => code === BLANK || code === NEWLINE || code === TAB || code === RETURN;

function longNumber(text: string, from: number, to: number): number {
  numberEnd = atomEnd(text, from, to);
  const image = text.slice(from, numberEnd);
  return /^[+-]?\d+(\.\d+)?$/.test(image) ? Number(image) : Number.NaN;
}

function slipNumber(text: string, from: number, to: number, findings: Finding[]): number {
  numberEnd = atomEnd(text, from, to);
  const image = text.slice(from, numberEnd);
  return SLIP.test(image) ? slipInList(image, from, findings) : Number.NaN;
}

/** A slip inside a list: commas and bare points are put right, glued units are no numbers. */
function slipInList(image: string, from: number, findings: Finding[]): number {
  const right = image
    .replace(',', '.')
    .replace('\u2212', '-')
    .replace(/^([+-]?)\./, '$10.')
    .replace(/\.$/, '');
  const plain = /^[+-]?\d+(\.\d+)?$/.test(right);
  const value = plain ? Number(right) : /[\p{L}%]$/u.test(image) ? Number.NaN : Number(right);
  if (!Number.isFinite(value)) return Number.NaN;
  const written = plain ? right : decimalOf(value);
  const comma = image.includes(',');
  const code = comma
    ? 'number-comma'
    : image.startsWith('\u2212')
      ? 'number-minus'
      : plain
        ? 'number-point'
        : 'number-power';
  findings.push({
    code,
    severity: 'warning',
    from,
    to: from + image.length,
    problem: comma ? `'${image}' has a decimal comma.` : `'${image}' is not written as a plain number.`,
    remedy: `Write ${written}.`,
    fixes: [{ title: `Write ${written}`, edits: [{ from, to: from + image.length, text: written }], sure: true }],
  });
  return value;
}

const decimalOf = (value: number): string =>
  /e/.test(String(value)) ? value.toFixed(20).replace(/\.?0+$/, '') : String(value);

function odd(from: number, to: number, code: number): Finding {
  const name = `U+${code.toString(16).toUpperCase().padStart(4, '0')}`;
  const lineEnd = endsLines(code);
  const invisible = code === 0x200b || code === 0x2060 || code === BOM;
  const text = invisible ? '' : ' ';
  const title = invisible ? 'Take the character out' : 'Write an ordinary blank';
  return {
    code: 'odd-blank',
    severity: 'warning',
    from,
    to,
    problem: lineEnd
      ? `The character ${name} stands here; it ends no line.`
      : `An invisible character (${name}) stands here${invisible ? '' : ' instead of a blank'}.`,
    remedy: lineEnd
      ? 'End the line with the Enter key, or write a blank.'
      : invisible
        ? 'Take it out.'
        : 'Write an ordinary blank.',
    fixes: [{ title, edits: [{ from, to, text }], sure: !lineEnd && !invisible }],
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

const wrongEscape = (text: string, from: number): Finding => ({
  code: 'text-escape',
  severity: 'warning',
  from,
  to: from + 2,
  problem: `'${text.slice(from, from + 2)}' has no meaning in a text; only \\" and \\\\ have one.`,
  remedy: 'Write \\\\ for a stroke that is meant as it stands.',
  fixes: [{ title: 'Write \\\\', edits: [{ from, to: from, text: '\\' }], sure: true }],
});

const glued = (at: number): Finding => ({
  code: 'text-glued',
  severity: 'warning',
  from: at,
  to: at + 1,
  problem: 'There is no blank between a text in quotes and what stands beside it.',
  remedy: 'Write a blank between them.',
  fixes: [{ title: 'Write a blank', edits: [{ from: at, to: at, text: ' ' }], sure: true }],
});
