/**
 * The Chevrotain parser of one line. Its rules are built from the table of words: one rule for each row, one call for each place.
 * A line is the unit of recovery: every line begins with its word, so a line that cannot be read to its end keeps the values read so
 * far (completion needs them) and never disturbs the next one. Values are collected while parsing; with no tree in between there is
 * nothing that Chevrotain's in-rule repair could leave undefined.
 */
import { EmbeddedActionsParser, EOF, type IRecognitionException, type IToken, type ParserMethod } from 'chevrotain';
import { unit, unitAdvice } from '../server/exact/units.ts';
import type { Finding } from './finding.ts';
import { dimensionsOf, type Place, signature, type ValuePlace } from './place.ts';
import { count, date, geometry, id, range, readNumber, unquote } from './shapes.ts';
import {
  Atom,
  DateAtom,
  GeometryAtom,
  GreyAtom,
  LStar,
  NumberLike,
  NumberRun,
  Operator,
  Plain,
  RangeAtom,
  Text,
  Unit,
  ViewingAtom,
  vocabulary,
  wordTokens,
} from './tokens.ts';
import type { Literal, Value } from './tree.ts';
import { type Row, rows } from './words.ts';

type Rule = ParserMethod<[], void>;

export interface ParsedLine {
  readonly values: readonly Value[];
  readonly words: readonly Literal[];
  readonly whole: boolean;
}

class LineParser extends EmbeddedActionsParser {
  private readonly rules = new Map<Row, Rule>();
  private values: Value[] = [];
  private words: Literal[] = [];
  private findings: Finding[] = [];
  /** Chevrotain wants each call of one kind in a rule numbered. */
  private numbers = new Map<Place, Map<string, number>>();
  private counters = new Map<string, number>();

  constructor() {
    super(vocabulary, { recoveryEnabled: false, maxLookahead: 3, skipValidations: true });
    rows.forEach((row, index) => {
      this.counters = new Map();
      this.number(row.places);
      this.rules.set(row, this.RULE(`row${index}`, () => this.sequence(row.places)) as Rule);
    });
    this.performSelfAnalysis();
  }

  line(row: Row, tokens: IToken[], lineEnd: number, findings: Finding[]): ParsedLine {
    this.input = tokens;
    this.values = [];
    this.words = [];
    this.findings = findings;
    this.rules.get(row)!.call(this);
    const fault = this.errors[0];
    if (fault) findings.push(misfit(row, fault, tokens, lineEnd));
    return { values: this.values, words: this.words, whole: fault === undefined };
  }

  private number(places: readonly Place[]): void {
    for (const place of places) {
      const own = new Map<string, number>();
      this.numbers.set(place, own);
      for (const call of ['consume', 'consume2', 'option', 'or', 'some']) {
        const kind = call === 'consume2' ? 'consume' : call;
        const next = (this.counters.get(kind) ?? -1) + 1;
        this.counters.set(kind, next);
        own.set(call, next);
      }
      if (place.is === 'either') for (const way of place.ways) this.number(way);
      else if (place.is === 'optional' || place.is === 'some') this.number(place.places);
    }
  }

  private sequence(places: readonly Place[]): void {
    for (const place of places) this.place(place);
  }

  private place(place: Place): void {
    const n = (call: string) => this.numbers.get(place)!.get(call)!;
    switch (place.is) {
      case 'word': {
        const token = this.consume(n('consume'), wordTokens.get(place.text)!);
        this.ACTION(() => this.words.push({ text: token.image, from: token.startOffset, to: end(token) }));
        return;
      }
      case 'optional':
        this.option(n('option'), () => this.sequence(place.places));
        return;
      case 'some':
        this.atLeastOne(n('some'), () => this.sequence(place.places));
        return;
      case 'either':
        if (place.ways.length === 1) this.sequence(place.ways[0]!);
        else
          this.or(
            n('or'),
            place.ways.map((way) => ({ ALT: () => this.sequence(way) })),
          );
        return;
      case 'value':
        this.value(place, n);
    }
  }

  private value(place: ValuePlace, n: (call: string) => number): void {
    const consume = (type: typeof Atom) => this.consume(n('consume'), type);
    switch (place.type) {
      case 'new':
      case 'ref':
        return this.keep(place, consume(Atom), id);
      case 'name':
        return this.orKeep(place, n, [Text, Atom], unquote);
      case 'text':
        return this.keep(place, consume(Text), unquote);
      case 'choice': {
        if (place.args.length === 1) return this.keep(place, consume(wordTokens.get(place.args[0]!)!));
        return this.orKeep(
          place,
          n,
          place.args.map((word) => wordTokens.get(word)!),
        );
      }
      case 'number':
      case 'signed':
      case 'delta':
        return this.keep(place, consume(NumberLike), readNumber);
      case 'count':
        return this.keep(place, consume(NumberLike), count);
      case 'quantity':
      case 'measure':
        return this.quantity(place, n);
      case 'date':
        return this.keep(place, consume(DateAtom), date);
      case 'geometry':
        return this.keep(place, consume(GeometryAtom), geometry);
      case 'viewing':
        return this.keep(place, consume(ViewingAtom));
      case 'range':
        return this.keep(place, consume(RangeAtom), range);
      case 'grey':
        return this.grey(place, n);
      case 'operator':
        return this.keep(place, consume(Operator));
      case 'numbers':
        return this.list(place, consume(NumberRun));
    }
  }

  private orKeep(place: ValuePlace, n: (call: string) => number, types: (typeof Atom)[], read?: Read): void {
    const token = this.or(
      n('or'),
      types.map((type, index) => ({ ALT: () => this.consume(200 + ((n('consume') + index) % 50), type) })),
    ) as IToken;
    this.keep(place, token, read);
  }

  private quantity(place: ValuePlace, n: (call: string) => number): void {
    const token = this.consume(n('consume'), NumberLike);
    let unitToken: IToken | undefined;
    this.option(n('option'), () => {
      unitToken = this.or(n('or'), [
        { ALT: () => this.consume(n('consume2'), Unit) },
        { ALT: () => this.consume(150 + (n('consume2') % 40), Plain) },
      ]) as IToken;
    });
    this.ACTION(() => {
      const number = readNumber(token, this.findings, place);
      const written = unitToken?.image ?? number.unit;
      const unitSpan = unitToken ? { from: unitToken.startOffset, to: end(unitToken) } : undefined;
      if (place.type === 'quantity') this.findings.push(...unitFindings(place, token, written, unitSpan));
      this.values.push({
        place: place.name,
        type: place.type,
        text: number.text,
        from: token.startOffset,
        to: unitToken ? end(unitToken) : end(token),
        ...(written !== undefined && unit(written) ? { unit: written } : {}),
        ...(unitSpan ? { unitSpan } : {}),
      });
    });
  }

  private grey(place: ValuePlace, n: (call: string) => number): void {
    this.or(n('or'), [
      {
        ALT: () => {
          const token = this.consume(n('consume'), GreyAtom);
          this.keep(place, token);
        },
      },
      {
        ALT: () => {
          const star = this.consume(150 + (n('consume') % 40), LStar);
          const number = this.consume(n('consume2'), NumberLike);
          this.ACTION(() => {
            const { text } = readNumber(number, this.findings, place);
            this.values.push({
              place: place.name,
              type: 'grey',
              text: `L* ${text}`,
              from: star.startOffset,
              to: end(number),
            });
          });
        },
      },
    ]);
  }

  private list(place: ValuePlace, token: IToken): void {
    this.ACTION(() => {
      const numbers = Float64Array.from(token.image.trim().split(/\s+/), Number);
      this.values.push({
        place: place.name,
        type: 'numbers',
        text: token.image,
        from: token.startOffset,
        to: end(token),
        numbers,
      });
    });
  }

  private keep(place: ValuePlace, token: IToken, read?: Read): void {
    this.ACTION(() => {
      const text = read ? read(token, this.findings, place).text : token.image;
      this.values.push({ place: place.name, type: place.type, text, from: token.startOffset, to: end(token) });
    });
  }
}

type Read = (token: IToken, findings: Finding[], place: ValuePlace) => { text: string; unit?: string };

const end = (token: IToken): number => token.endOffset! + 1;

function unitFindings(
  place: ValuePlace,
  token: IToken,
  written: string | undefined,
  span: { from: number; to: number } | undefined,
): Finding[] {
  const accepted = dimensionsOf(place);
  const examples = accepted.map((dimension) => EXAMPLE_UNITS[dimension] ?? dimension).join(' or ');
  const from = span?.from ?? token.startOffset;
  const to = span?.to ?? end(token);
  if (written === undefined) {
    return [
      {
        code: 'unit-missing',
        severity: 'error',
        from,
        to,
        problem: `The ${place.name} has no unit.`,
        remedy: `Write the unit behind a blank: ${examples}.`,
        ...(FIRST_UNIT[accepted[0]!]
          ? {
              fixes: [
                {
                  title: `Write ${FIRST_UNIT[accepted[0]!]}`,
                  edits: [{ from: to, to, text: ` ${FIRST_UNIT[accepted[0]!]}` }],
                },
              ],
            }
          : {}),
      },
    ];
  }
  const found = unit(written);
  if (!found) {
    return [
      {
        code: 'unit-unknown',
        severity: 'error',
        from,
        to,
        problem: `'${written}' is not a unit of this language.`,
        remedy: unitAdvice(written) ?? `Write ${examples}.`,
      },
    ];
  }
  if (accepted.includes(found.dimension)) return [];
  return [
    {
      code: 'unit-wrong',
      severity: 'error',
      from,
      to,
      problem: `The ${place.name} cannot be given in ${written}: that is a ${found.dimension}.`,
      remedy: `Write ${examples}.`,
    },
  ];
}

const EXAMPLE_UNITS: Record<string, string> = {
  mass: 'g, kg, mg or lb',
  volume: 'ml, l, floz-US …',
  length: 'um, mm or mil',
  area: 'm2 or ft2',
  temperature: 'C',
  time: 'min, h or days',
  share: '%',
  density: 'g/ml',
  'colour difference': 'dE00',
  'price per volume': 'a price such as EUR/l',
  'price per mass': 'a price such as EUR/kg',
};
const FIRST_UNIT: Record<string, string> = {
  mass: 'g',
  volume: 'ml',
  length: 'um',
  area: 'm2',
  temperature: 'C',
  share: '%',
  density: 'g/ml',
  'colour difference': 'dE00',
};

/** The finding of a line whose places do not fit its row. */
function misfit(row: Row, fault: IRecognitionException, tokens: IToken[], lineEnd: number): Finding {
  const at = fault.token.tokenType === EOF ? undefined : fault.token;
  const shape = `${row.word} ${signature(row.places)}`;
  if (at === undefined) {
    const last = tokens.at(-1);
    return {
      code: 'line-short',
      severity: 'error',
      from: last ? last.startOffset : Math.max(0, lineEnd - row.word.length),
      to: lineEnd,
      problem: `Something is missing at the end of the '${row.word}' line.`,
      remedy: `Its places are: ${shape}. For example: ${row.example}`,
    };
  }
  const tooMuch = fault.name === 'NotAllInputParsedException';
  return {
    code: tooMuch ? 'line-long' : 'place-wrong',
    severity: 'error',
    from: at.startOffset,
    to: end(at),
    problem: tooMuch
      ? `'${at.image}' does not belong on this '${row.word}' line.`
      : `'${at.image}' does not fit here on a '${row.word}' line.`,
    remedy: `Its places are: ${shape}. For example: ${row.example}`,
  };
}

const parser = new LineParser();

/** Reads the tokens behind a line's word by the places of its row; findings are added to the list. */
export const parseLine = (row: Row, tokens: IToken[], lineEnd: number, findings: Finding[]): ParsedLine =>
  parser.line(row, tokens, lineEnd, findings);
