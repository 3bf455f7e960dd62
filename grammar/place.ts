/**
 * What stands in each place after a word. The table of words (words.ts) writes its places in a small notation, which is also
 * what signature help and the language reference print:
 *
 *   weight {weight:quantity mass} [as (poured | ready to spray)]
 *
 * A bare word stands for itself; `{name:type rest}` is a value; `[…]` may be left out; `(… | …)` is one of several; a `+` behind a
 * brace or a group means once or more.
 */
import type { Dimension } from '../server/exact/units.ts';

export type ValueType =
  | 'new' // an id that this line defines
  | 'ref' // an id defined elsewhere; `args` are the kinds it may be
  | 'text' // "in quotes"
  | 'name' // one atom or a text in quotes: a maker, a person, a lot
  | 'number' // a plain number, no sign
  | 'signed' // a number that may carry a sign
  | 'delta' // a number that must carry a sign: more or less than before
  | 'count' // a whole number
  | 'quantity' // a number, a blank, a unit; `args` are the dimensions
  | 'measure' // a number with or without a unit (expectations)
  | 'choice' // one of the words in `args`
  | 'date' // 2026-10-14 or 2026-10-14T09:20, with or without a zone
  | 'geometry' // 45as15, 45as-15, 45/0, d/8
  | 'viewing' // illuminant and observer: D65/10
  | 'range' // 400..700/10 or 2019..2023
  | 'grey' // N5, N6.5 or L* 51
  | 'operator' // <= >= < > =
  | 'numbers'; // a list of numbers, which may go on over lines that begin with a number

export type Place =
  | { readonly is: 'word'; readonly text: string }
  | { readonly is: 'value'; readonly name: string; readonly type: ValueType; readonly args: readonly string[] }
  | { readonly is: 'optional'; readonly places: readonly Place[] }
  | { readonly is: 'either'; readonly ways: readonly (readonly Place[])[] }
  | { readonly is: 'some'; readonly places: readonly Place[] };

export type ValuePlace = Extract<Place, { is: 'value' }>;

/** Dimensions that a quantity place accepts. */
export const dimensionsOf = (place: ValuePlace): readonly Dimension[] =>
  place.args.map((arg) => arg.replaceAll('-', ' ') as Dimension);

const PIECE = /\s+|\{(\w+):(\w+)((?: [^}]*)?)\}|[[\]()|+]|[^\s[\](){}|+]+/gy;

/** Reads the notation above. The table is ours, so a slip in it is a programming error and throws. */
export function placesOf(notation: string): readonly Place[] {
  const pieces = [...notation.matchAll(PIECE)].filter((piece) => piece[0].trim() !== '');
  let at = 0;

  const group = (close: string): Place[][] => {
    const ways: Place[][] = [sequence()];
    while (pieces[at]?.[0] === '|') {
      at++;
      ways.push(sequence());
    }
    if (pieces[at]?.[0] !== close) throw new Error(`table of words: '${close}' missing in: ${notation}`);
    at++;
    return ways;
  };

  const single = (): Place => {
    const piece = pieces[at++]!;
    if (piece[0] === '[') return { is: 'optional', places: oneOf(group(']')) };
    if (piece[0] === '(') return oneOf(group(')'))[0]!;
    if (piece[1]) return { is: 'value', name: piece[1], type: piece[2] as ValueType, args: words(piece[3]!) };
    return { is: 'word', text: piece[0] };
  };

  const sequence = (): Place[] => {
    const places: Place[] = [];
    while (at < pieces.length && !/^[\])|]$/.test(pieces[at]![0])) {
      const place = single();
      if (pieces[at]?.[0] !== '+') places.push(place);
      else {
        at++;
        places.push({
          is: 'some',
          places: place.is === 'either' && place.ways.length === 1 ? place.ways[0]! : [place],
        });
      }
    }
    return places;
  };

  const places = sequence();
  if (at < pieces.length) throw new Error(`table of words: stray '${pieces[at]![0]}' in: ${notation}`);
  return places;
}

const oneOf = (ways: Place[][]): Place[] => [{ is: 'either', ways }];
const words = (text: string): string[] => text.split(/[ |]+/).filter((word) => word !== '');

/** Every place in reading order, groups opened. */
export function* flatten(places: readonly Place[]): Generator<Extract<Place, { is: 'word' | 'value' }>> {
  for (const place of places) {
    if (place.is === 'word' || place.is === 'value') yield place;
    else if (place.is === 'either') for (const way of place.ways) yield* flatten(way);
    else yield* flatten(place.places);
  }
}

/** The places as signature help shows them: `GRN-2 41.20` becomes `toner parts`. */
export function signature(places: readonly Place[]): string {
  const one = (place: Place): string => {
    if (place.is === 'word') return place.text;
    if (place.is === 'value') return place.type === 'choice' ? place.args.join('|') : `‹${label(place)}›`;
    if (place.is === 'optional') return `[${signature(place.places)}]`;
    if (place.is === 'some') return `${signature(place.places)} …`;
    return place.ways.length === 1 ? signature(place.ways[0]!) : `(${place.ways.map(signature).join(' | ')})`;
  };
  return places.map(one).join(' ');
}

const label = (place: ValuePlace): string => (place.type === 'text' ? `"${place.name}"` : place.name);
