/**
 * The Chevrotain parser of one line. Its rules are built from the table of words: one rule for each row, one call for each place.
 * A line is the unit of recovery: every line begins with its word, so a line that cannot be read to its end keeps the values read so
 * far (completion needs them) and never disturbs the next one. Values are collected while parsing; with no tree in between there is
 * nothing that Chevrotain's in-rule repair could leave undefined.
 */
import { EmbeddedActionsParser, EOF, type IToken, type ParserMethod, type TokenType } from 'chevrotain';
import { unit } from '../server/exact/units.ts';
import { follow, typesOf } from './expect.ts';
import type { Finding } from './finding.ts';
import { misfit } from './misfit.ts';
import type { Place, ValuePlace } from './place.ts';
import { Token } from './scanner.ts';
import { count, date, geometry, id, type ReadText, range, readNumber, unquote } from './shapes.ts';
import { Decimal, GreyAtom, LStar, NumberLike, NumberRun, Slip, UnitLike, vocabulary, wordTokens } from './tokens.ts';
import type { Literal, Value } from './tree.ts';
import { unitFindings } from './unit-findings.ts';
import { type EntryKind, type Row, rows } from './words.ts';

export interface ParsedLine {
  readonly values: readonly Value[];
  readonly words: readonly Literal[];
  readonly whole: boolean;
}

type Step = () => void;
type Reader = (token: IToken, findings: Finding[], place: ValuePlace) => ReadText;

const READERS: Partial<Record<ValuePlace['type'], Reader>> = {
  new: id,
  ref: id,
  name: unquote,
  text: unquote,
  number: readNumber,
  signed: readNumber,
  delta: readNumber,
  count,
  date,
  geometry,
  range,
};

class LineParser extends EmbeddedActionsParser {
  private readonly rules = new Map<Row, ParserMethod<[], void>>();
  private values: Value[] = [];
  private words: Literal[] = [];
  private findings: Finding[] = [];
  /** Chevrotain wants the calls of one kind in a rule numbered. */
  private numbers = { consume: 0, option: 0, or: 0, some: 0 };

  constructor(rows: readonly Row[]) {
    super(vocabulary, { recoveryEnabled: false, maxLookahead: 3, skipValidations: true });
    rows.forEach((row, index) => {
      this.numbers = { consume: 0, option: 0, or: 0, some: 0 };
      this.rules.set(row, this.RULE(`row${index}`, this.sequence(row.places)));
    });
    this.performSelfAnalysis();
  }

  line(row: Row, tokens: IToken[], findings: Finding[]): ParsedLine {
    this.input = tokens;
    this.values = [];
    this.words = [];
    this.findings = findings;
    this.rules.get(row)!.call(this);
    return { values: this.values, words: this.words, whole: this.errors.length === 0 };
  }

  private sequence(places: readonly Place[]): Step {
    const steps = places.map((place) => this.place(place));
    if (steps.length === 1) return steps[0]!;
    return () => {
      for (const step of steps) step();
    };
  }

  private place(place: Place): Step {
    switch (place.is) {
      case 'word':
        return this.word(place.text);
      case 'optional': {
        const number = this.numbers.option++;
        const step = this.sequence(place.places);
        return () => {
          this.option(number, step);
        };
      }
      case 'some': {
        const number = this.numbers.some++;
        const step = this.sequence(place.places);
        return () => this.atLeastOne(number, step);
      }
      case 'either':
        return place.ways.length === 1 ? this.sequence(place.ways[0]!) : this.oneOf(place.ways);
      case 'value':
        return this.value(place);
    }
  }

  /** Half-typed atoms that do not tell yet which way is meant are read along the one that they follow furthest. */
  private oneOf(ways: readonly (readonly Place[])[]): Step {
    const steps = ways.map((way) => this.sequence(way));
    const choose = this.either(steps);
    return () => {
      try {
        choose();
      } catch (error) {
        if (this.RECORDING_PHASE || !(error instanceof Error) || error.name !== 'NoViableAltException') throw error;
        steps[this.furthest(ways)]!();
      }
    };
  }

  private furthest(ways: readonly (readonly Place[])[]): number {
    const tokens: IToken[] = [];
    for (let ahead = 1; this.LA(ahead).tokenType !== EOF; ahead++) tokens.push(this.LA(ahead));
    const fitted = ways.map((way) => follow(way, tokens).fitted);
    return fitted.lastIndexOf(Math.max(...fitted));
  }

  private either(steps: readonly Step[]): Step {
    const number = this.numbers.or++;
    const ways = steps.map((ALT) => ({ ALT }));
    return () => {
      this.or(number, ways);
    };
  }

  private word(text: string): Step {
    const number = this.numbers.consume++;
    const type = wordTokens.get(text)!;
    return () => {
      const token = this.consume(number, type);
      if (!this.RECORDING_PHASE) this.words.push({ text: token.image, from: token.startOffset, to: end(token) });
    };
  }

  private value(place: ValuePlace): Step {
    if (place.type === 'quantity' || place.type === 'measure') return this.quantity(place);
    if (place.type === 'grey') return this.grey(place);
    return this.single(place, typesOf(place)[0]!, READERS[place.type]);
  }

  private single(place: ValuePlace, type: TokenType, read: Reader | undefined): Step {
    const number = this.numbers.consume++;
    return () => {
      const token = this.consume(number, type);
      if (this.RECORDING_PHASE) return;
      const text = read ? read(token, this.findings, place).text : token.image;
      const { name, type: written } = place;
      const from = token.startOffset;
      const isPercent = place.type === 'delta' && token.image.endsWith('%');
      const to = isPercent ? end(token) - 1 : end(token);
      this.values.push(
        type === NumberRun
          ? { place: name, type: written, text, from, to, numbers: token.payload as Float64Array }
          : { place: name, type: written, text, from, to },
      );
      if (isPercent) this.values.push(gluedPercent(token));
    };
  }

  private quantity(place: ValuePlace): Step {
    const number = this.numbers.consume++;
    const unitNumber = this.numbers.consume++;
    const option = this.numbers.option++;
    const unitStep = () => this.consume(unitNumber, UnitLike);
    return () => {
      const token = this.consume(number, NumberLike);
      const unitToken = this.option(option, unitStep);
      if (this.RECORDING_PHASE) return;
      const read = readNumber(token, this.findings, place);
      const written = unitToken?.image ?? read.unit;
      const unitSpan = unitToken && { from: unitToken.startOffset, to: end(unitToken) };
      if (place.type === 'quantity' || written !== undefined)
        this.findings.push(...unitFindings(place, { from: token.startOffset, to: end(token) }, written, unitSpan));
      this.values.push({
        place: place.name,
        type: place.type,
        text: read.text,
        from: token.startOffset,
        to: end(unitToken ?? token),
        ...(written !== undefined && unit(written) ? { unit: written } : {}),
        ...(unitSpan ? { unitSpan } : {}),
      });
    };
  }

  /** N5, or L* with a number. */
  private grey(place: ValuePlace): Step {
    const star = this.numbers.consume++;
    const lightness = this.numbers.consume++;
    return this.either([
      this.single(place, GreyAtom, undefined),
      () => {
        const first = this.consume(star, LStar);
        const token = this.consume(lightness, NumberLike);
        if (this.RECORDING_PHASE) return;
        const text = `L* ${readNumber(token, this.findings, place).text}`;
        this.values.push({ place: place.name, type: 'grey', text, from: first.startOffset, to: end(token) });
      },
    ]);
  }
}

const end = (token: IToken): number => token.endOffset! + 1;

/** `+5%` means `+5 %`. */
const gluedPercent = (token: IToken): Value => ({
  place: 'percent',
  type: 'choice',
  text: '%',
  from: token.endOffset!,
  to: end(token),
});

/** Kinds that nearly every book has: to make one parser takes less than half as long as to make one for each of them. */
const COMMON: ReadonlySet<EntryKind> = new Set([
  'book',
  'system',
  'toner',
  'letdown',
  'undercoat',
  'formula',
  'variant',
]);

const parsers = new Map<EntryKind | 'common', LineParser>();

/** Making the rules of all rows takes longer than reading a small book, and a book seldom has entries of all kinds. */
function parserOf(row: Row): LineParser {
  const group = groupOf(row);
  let parser = parsers.get(group);
  if (!parser) {
    parser = new LineParser(rows.filter((one) => groupOf(one) === group));
    parsers.set(group, parser);
  }
  return parser;
}

function groupOf(row: Row): EntryKind | 'common' {
  const [kind] = row.in as [EntryKind];
  return COMMON.has(kind) ? 'common' : kind;
}

/** Reads the tokens behind a line's word by the places of its row; findings are added to the list. */
export function parseLine(
  row: Row,
  tokens: IToken[],
  wordFrom: number,
  lineEnd: number,
  findings: Finding[],
): ParsedLine {
  const before = findings.length;
  const parser = parserOf(row);
  const parsed = parser.line(row, tokens, findings);
  if (parsed.whole) return parsed;
  const joined = withNumbersJoined(tokens);
  if (joined.tokens !== tokens) {
    const kept = findings.splice(before);
    const again = parser.line(row, joined.tokens, findings);
    if (again.whole) {
      findings.push(...joined.findings);
      return again;
    }
    findings.length = before;
    findings.push(...kept);
  }
  findings.push(misfit(row, tokens, wordFrom, lineEnd));
  return parsed;
}

/** `1 000` and `+ 5` are one number with a blank in it where the line fits only then. */
function withNumbersJoined(tokens: IToken[]): { tokens: IToken[]; findings: Finding[] } {
  const findings: Finding[] = [];
  const joined: IToken[] = [];
  for (let at = 0; at < tokens.length; at++) {
    const first = tokens[at]!;
    let image = first.image;
    let last = first;
    const next = tokens[at + 1];
    if (/^[+-]$/.test(image) && next?.tokenType === Decimal && /^\d/.test(next.image)) {
      last = next;
      image += next.image;
      at++;
    } else if (first.tokenType === Decimal && /^[+-]?\d{1,3}$/.test(image)) {
      while (isThousands(tokens[at + 1]) && !last.image.includes('.')) {
        last = tokens[++at]!;
        image += last.image;
      }
    }
    if (last === first) {
      joined.push(first);
      continue;
    }
    joined.push(new Token(image.replace(',', '.'), first.startOffset, Decimal, last.endOffset));
    findings.push(spaced(first, last, image.replace(',', '.')));
  }
  return findings.length > 0 ? { tokens: joined, findings } : { tokens, findings };
}

const isThousands = (token: IToken | undefined): boolean =>
  token !== undefined &&
  (token.tokenType === Decimal || token.tokenType === Slip) &&
  /^\d{3}([.,]\d+)?$/.test(token.image);

function spaced(first: IToken, last: IToken, right: string): Finding {
  const from = first.startOffset;
  const to = end(last);
  return {
    code: 'number-spaced',
    severity: 'warning',
    from,
    to,
    problem: 'The number has a blank in it.',
    remedy: `Write ${right}.`,
    fixes: [{ title: `Write ${right}`, edits: [{ from, to, text: right }], sure: true }],
  };
}
