/** Arbitrary entries made from the table of words, for properties: what the table allows, in any order, with any blanks and comments. */
import fc from 'fast-check';
import { dimensionsOf, type Place, type ValuePlace } from '../../grammar/place.ts';
import { type EntryKind, headRows, type Row, rows } from '../../grammar/words.ts';
import { unitsOf } from '../../server/exact/units.ts';

const digits = (max: number) => fc.nat({ max }).map(String);
const decimal = fc.oneof(
  digits(300),
  fc.tuple(digits(300), fc.integer({ min: 0, max: 9999 })).map(([whole, part]) => `${whole}.${part}`),
);
const letters = fc.constantFrom(
  'GRN-2',
  'ALU-C',
  'BLK_1',
  '2026-10-14-A',
  '12345',
  'grey',
  'worst',
  '漆-7',
  'e\u0301tui',
  'Ü',
  'a.b',
);
const id = fc.tuple(letters, fc.nat({ max: 10_000 })).map(([start, end]) => `${start}-${end}`);
const quoted = fc
  .string({
    unit: fc.constantFrom('a', 'Z', ' ', '  ', '#', '\\"', '\\\\', 'é', '漆', '🎨', '\t', '1.5'),
    maxLength: 12,
  })
  .map((text) => `"${text}"`);
const comment = fc
  .string({ unit: fc.constantFrom('a', ' ', '#', '"', '🎨', '7', '=', 'toner'), maxLength: 10 })
  .map((text) => `#${text}`);
const geometry = fc.constantFrom('45as15', '45as-15', '45as25', '45as45', '45as75', '45as110', '45/0', 'd/8');
const date = fc.constantFrom('2026-10-14', '2026-10-14T09:20', '2026-02-28T23:59:01Z', '2024-02-29T00:00+01:00');

type Atoms = readonly string[];
const one = (atom: fc.Arbitrary<string>): fc.Arbitrary<Atoms> => atom.map((text) => [text]);
const inOrder = (parts: fc.Arbitrary<Atoms>[]): fc.Arbitrary<Atoms> => fc.tuple(...parts).map((all) => all.flat());

function valueAtoms(place: ValuePlace): fc.Arbitrary<Atoms> {
  switch (place.type) {
    case 'new':
    case 'ref':
      return one(id);
    case 'text':
      return one(quoted);
    case 'name':
      return one(fc.oneof(quoted, id));
    case 'number':
      return one(decimal);
    case 'signed':
      return one(fc.tuple(fc.constantFrom('', '-', '+'), decimal).map(([sign, number]) => sign + number));
    case 'delta':
      return one(fc.tuple(fc.constantFrom('-', '+'), decimal).map(([sign, number]) => sign + number));
    case 'count':
      return one(digits(9));
    case 'quantity': {
      const units = dimensionsOf(place).flatMap((dimension) => unitsOf(dimension).map((unit) => unit.symbol));
      return fc.tuple(decimal, fc.constantFrom(...units));
    }
    case 'measure':
      return fc.oneof(one(decimal), fc.tuple(decimal, fc.constantFrom('dE00', 'g/l', '%', 'EUR', 'g')));
    case 'choice':
      return one(fc.constantFrom(...place.args));
    case 'date':
      return one(date);
    case 'geometry':
      return one(geometry);
    case 'viewing':
      return one(fc.constantFrom('D65/10', 'A/10', 'F11/2', 'LED-B3/10'));
    case 'range':
      return one(fc.constantFrom('2019..2023', '2019..', '1..2'));
    case 'grey':
      return fc.oneof(
        one(fc.constantFrom('N5', 'N6.5')),
        decimal.map((lightness) => ['L*', lightness]),
      );
    case 'operator':
      return one(fc.constantFrom('<=', '>=', '<', '>', '='));
    case 'numbers':
      return one(fc.constant('0.1 0.25 0.3 0.4'));
  }
}

function placeAtoms(place: Place): fc.Arbitrary<Atoms> {
  switch (place.is) {
    case 'word':
      return one(fc.constant(place.text));
    case 'value':
      return valueAtoms(place);
    case 'optional':
      return fc.oneof(fc.constant([] as Atoms), atomsOf(place.places));
    case 'either':
      return fc.oneof(...place.ways.map(atomsOf));
    case 'some':
      return fc.array(atomsOf(place.places), { minLength: 1, maxLength: 3 }).map((all) => all.flat());
  }
}

function atomsOf(places: readonly Place[]): fc.Arbitrary<Atoms> {
  const list = places.findIndex((place) => place.is === 'value' && place.type === 'numbers');
  if (list < 0) return inOrder(places.map(placeAtoms));
  return inOrder([
    ...places.slice(0, list - 1).map(placeAtoms),
    fc
      .tuple(fc.constantFrom('400..700/100', '360..380/10'), fc.constantFrom(' ', '  ', '\t', '\n  ', '\n\t\t'))
      .map(([grid, gap]) => [
        grid,
        Array.from({ length: grid === '400..700/100' ? 4 : 3 }, (_, i) => `0.${i + 1}`).join(gap),
      ]),
  ]);
}

const blanks = fc.constantFrom(' ', '  ', '\t', '      ', ' \t ');
const end = fc.constantFrom('', '', '', ' ', '\t ');

/** One line: its word, its atoms, with any blanks between, at any indent, perhaps with a comment. */
function lineOf(row: Row): fc.Arbitrary<string> {
  return atomsOf(row.places).chain((atoms) =>
    fc
      .tuple(
        row.head ? fc.constant('') : blanks,
        fc.array(blanks, { minLength: atoms.length, maxLength: atoms.length }),
        fc.option(fc.tuple(blanks, comment)),
        end,
      )
      .map(([indent, gaps, note, tail]) => {
        const code = atoms.reduce((line, atom, index) => line + gaps[index] + atom, indent + row.word);
        return code + (note ? note[0] + note[1] : '') + tail;
      }),
  );
}

const otherLine = fc.oneof(
  fc.constantFrom('', '  ', '\t'),
  fc.tuple(fc.constantFrom('', '  ', '\t', ' '.repeat(24)), comment).map(([indent, text]) => indent + text),
);

/** The lines of an entry of this kind. Words that stand once stand once; keys are seldom repeated. */
export function entryLines(kind: EntryKind): fc.Arbitrary<string[]> {
  const body = rows.filter((row) => !row.head && row.in.includes(kind));
  const several = body.filter((row) => row.repeat !== 'once').map((row) => fc.array(lineOf(row), { maxLength: 4 }));
  const single = fc
    .subarray(body.filter((row) => row.repeat === 'once'))
    .chain((chosen) => fc.tuple(...chosen.map(lineOf)))
    .map((lines) => [...lines]);
  return fc
    .tuple(lineOf(headRows.get(kind)!), single, fc.tuple(...several), fc.array(otherLine, { maxLength: 3 }), fc.nat())
    .map(([head, ones, groups, others, at]) => {
      const lines = [...ones, ...groups.flat()];
      lines.splice(at % (lines.length + 1), 0, ...others);
      return [head, ...lines];
    });
}

export const anyKind: fc.Arbitrary<EntryKind> = fc.constantFrom(...([...headRows.keys()] as EntryKind[]));

/** The text of an entry, with either line end. */
export const entryText: fc.Arbitrary<string> = fc
  .tuple(anyKind.chain(entryLines), fc.constantFrom('\n', '\r\n'), fc.boolean())
  .map(([lines, newline, last]) => lines.join('\n').replaceAll('\n', newline) + (last ? newline : ''));
