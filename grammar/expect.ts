/**
 * What may stand next after the atoms of a line, by its row of the table. Completion and signature help ask it at the cursor, messages
 * ask it where a line went wrong. It follows every way through the places at once, so half-typed lines cost nothing special.
 */
import type { IToken, TokenType } from 'chevrotain';
import type { Place, ValuePlace } from './place.ts';
import {
  Atom,
  choiceType,
  DateAtom,
  GeometryAtom,
  GreyAtom,
  LStar,
  Name,
  NumberLike,
  NumberRun,
  Operator,
  RangeAtom,
  Text,
  UnitLike,
  ViewingAtom,
  wordTokens,
} from './tokens.ts';

/** A single thing that may stand next: a word of the table, a value, or the unit or lightness that completes a value. */
export type Expected =
  | { readonly is: 'word'; readonly text: string }
  | { readonly is: 'value'; readonly place: ValuePlace }
  | { readonly is: 'unit'; readonly place: ValuePlace }
  | { readonly is: 'lightness'; readonly place: ValuePlace };

export type Step = Place | { readonly is: 'unit' | 'lightness'; readonly place: ValuePlace };

/** The places still to come on one way through a row. */
export interface Way {
  readonly step: Step;
  readonly after: Way | undefined;
}

/** Where the atoms lead: the ways still open (undefined is a finished line), and how many atoms fitted. */
export interface Progress {
  readonly ways: readonly (Way | undefined)[];
  readonly fitted: number;
}

const before = (steps: readonly Step[], after: Way | undefined): Way | undefined =>
  steps.reduceRight<Way | undefined>((rest, step) => ({ step, after: rest }), after);

/** Opens the groups at the front of a way, so that each way begins with a word or value, or is finished. */
function open(way: Way | undefined, found: (Way | undefined)[]): void {
  if (way === undefined) {
    found.push(undefined);
    return;
  }
  const { step, after } = way;
  switch (step.is) {
    case 'optional':
      open(before(step.places, after), found);
      open(after, found);
      return;
    case 'either':
      for (const one of step.ways) open(before(one, after), found);
      return;
    case 'some':
      open(before(step.places, { step: { is: 'optional', places: [step] }, after }), found);
      return;
    case 'unit':
      // A number without its unit is read as well, with a finding of its own.
      found.push(way);
      open(after, found);
      return;
    default:
      found.push(way);
  }
}

/** Follows the atoms as far as they fit. */
export function follow(places: readonly Place[], tokens: readonly IToken[]): Progress {
  let ways: (Way | undefined)[] = [];
  open(before(places, undefined), ways);
  for (let fitted = 0; fitted < tokens.length; fitted++) {
    const next: (Way | undefined)[] = [];
    for (const way of ways) if (way && takes(way.step, tokens[fitted]!)) open(rest(way, tokens[fitted]!), next);
    if (next.length === 0) return { ways, fitted };
    ways = next;
  }
  return { ways, fitted: tokens.length };
}

/** A quantity goes on with its unit (its number alone is already readable), a grey by lightness with its number. */
function rest({ step, after }: Way, token: IToken): Way | undefined {
  if (step.is !== 'value') return after;
  if (step.type === 'quantity' || step.type === 'measure') return { step: { is: 'unit', place: step }, after };
  if (step.type === 'grey' && token.tokenType === LStar) return { step: { is: 'lightness', place: step }, after };
  return after;
}

const is = (token: IToken, type: TokenType): boolean =>
  token.tokenType === type || type.categoryMatchesMap?.[token.tokenTypeIdx] === true;

export function takes(step: Step, token: IToken): boolean {
  if (step.is === 'word') return token.tokenType === wordTokens.get(step.text);
  if (step.is === 'unit') return is(token, UnitLike);
  if (step.is === 'lightness') return is(token, NumberLike);
  if (step.is !== 'value') return false;
  return typesOf(step).some((type) => is(token, type));
}

/** The kinds of atom with which a value may begin. */
export function typesOf(place: ValuePlace): readonly TokenType[] {
  switch (place.type) {
    case 'new':
    case 'ref':
      return [Atom];
    case 'text':
      return [Text];
    case 'name':
      return [Name];
    case 'choice':
      return [choiceType(place.args)];
    case 'date':
      return [DateAtom];
    case 'geometry':
      return [GeometryAtom];
    case 'viewing':
      return [ViewingAtom];
    case 'range':
      return [RangeAtom];
    case 'grey':
      return [GreyAtom, LStar];
    case 'operator':
      return [Operator];
    case 'numbers':
      return [NumberRun];
    default:
      return [NumberLike];
  }
}

const expected = (step: Step): Expected | undefined => {
  if (step.is === 'value') return { is: 'value', place: step };
  return step.is === 'word' || step.is === 'unit' || step.is === 'lightness' ? step : undefined;
};

/** What may stand next on any of the ways, each once. */
export function expectedOn(ways: readonly (Way | undefined)[]): Expected[] {
  const found = new Map<string, Expected>();
  for (const way of ways) {
    const next = way && expected(way.step);
    if (next) found.set(next.is === 'word' ? next.text : `${next.is} ${next.place.name}`, next);
  }
  return [...found.values()];
}

/** The fewest words and values with which a way ends. */
export function shortest(way: Way | undefined): Expected[] {
  const steps: Expected[] = [];
  for (let at = way; at; ) {
    const { step, after }: Way = at;
    const next = expected(step);
    if (next) steps.push(next);
    if (step.is === 'either') at = before(step.ways[0]!, after);
    else if (step.is === 'some') at = before(step.places, after);
    else at = after;
  }
  return steps;
}
