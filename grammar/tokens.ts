/**
 * Kinds of atom, as Chevrotain token types. An atom is a maximal run of non-blanks; what it means is decided by the place where it
 * stands, so every kind of atom also is an `Atom`, and an id place takes any of them.
 */
import { createToken, type TokenType } from 'chevrotain';
import { unit } from '../server/exact/units.ts';
import { flatten } from './place.ts';
import { rows } from './words.ts';

const kind = (name: string, categories: TokenType[] = []): TokenType =>
  createToken({ name, pattern: /(?!)/, categories });

/** What a `name` place takes: one atom or a text. */
export const Name = kind('Name');
export const Atom = kind('Atom', [Name]);
/** What may stand where a unit is expected: a unit, or an unknown word taken for one. */
export const UnitLike = kind('UnitLike');
export const Unit = kind('Unit', [UnitLike]);
export const NumberLike = kind('NumberLike', [Atom]);
export const Operator = kind('Operator', [Atom]);
/** An atom of no other kind: most ids, and most slips. */
export const Plain = kind('Plain', [Atom, UnitLike]);
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
export const Text = kind('Text', [Name]);
export const NumberRun = kind('NumberRun');

const choices = new Map<string, { words: readonly string[]; type: TokenType }>();
const literals = new Set<string>(['=']);
for (const row of rows) {
  for (const place of flatten(row.places)) {
    if (place.is === 'word') literals.add(place.text);
    else if (place.type === 'choice') {
      const name = place.args.join('|');
      if (!choices.has(name)) choices.set(name, { words: place.args, type: kind(name) });
      for (const word of place.args) literals.add(word);
    }
  }
}

/** The token type of any word of a `choice` place. */
export const choiceType = (words: readonly string[]): TokenType => choices.get(words.join('|'))!.type;

/** Each word that a place of the table may hold has a token type of its own. */
export const wordTokens: ReadonlyMap<string, TokenType> = new Map(
  [...literals].map((word) => [
    word,
    kind(`'${word}'`, [
      Atom,
      ...(unit(word) ? [Unit] : []),
      ...(/^[<>=]+$/.test(word) ? [Operator] : []),
      ...[...choices.values()].filter((choice) => choice.words.includes(word)).map((choice) => choice.type),
    ]),
  ]),
);

export const vocabulary: TokenType[] = [
  Name,
  Atom,
  UnitLike,
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
  ...[...choices.values()].map((choice) => choice.type),
  ...wordTokens.values(),
];

const DECIMAL = /^[+-]?\d+(\.\d+)?$/;
/** A number with a slip: `41,20`, `.5`, `5.`, `1e3`, a typeset minus, a glued unit. */
export const SLIP = /^[+\-\u2212]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?(\p{L}[\p{L}\d/]*|%)?$/u;
const DATE = /^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?)?$/;
const GEOMETRY = /^(\d+as-?\d+|\d+\/\d+|d\/\d+|\d+\/d)$/;
const VIEWING = /^[A-Z][A-Za-z0-9-]*\/(2|10)$/;
const RANGE = /^\d+(\.\d+)?\.\.(\d+(\.\d+)?(\/\d+(\.\d+)?)?)?$/;
const GREY = /^N\d+(\.\d+)?$/;

function shapeOf(image: string): TokenType {
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
  if (image.length <= MOST_OF_A_UNIT && unit(image)) return PlainUnit;
  return SLIP.test(image) ? Slip : Plain;
}

const MOST_OF_A_UNIT = 12;
const MOST_KNOWN = 20_000;
/** A book says the same atoms over and over. */
const known = new Map<string, TokenType>();

export function typeOf(image: string): TokenType {
  const found = known.get(image);
  if (found) return found;
  const type = shapeOf(image);
  if (image.length <= 32) {
    if (known.size >= MOST_KNOWN) known.clear();
    known.set(image, type);
  }
  return type;
}
