/** What to say of a line whose atoms do not fit the places of its row: which place is missing or wrong, and what to write. */
import type { IToken } from 'chevrotain';
import { type Expected, expectedOn, follow, shortest, type Way } from './expect.ts';
import type { Finding } from './finding.ts';
import { nearest } from './nearest.ts';
import { isInExample, isPlural, phraseOf, sampleFor } from './sample.ts';
import { NumberRun, Text } from './tokens.ts';
import type { Row } from './words.ts';

const endOf = (token: IToken): number => token.endOffset! + 1;
const MOST_SHOWN = 40;
const shown = (text: string): string => (text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN)}…` : text);

export function misfit(row: Row, tokens: readonly IToken[], wordFrom: number, lineEnd: number): Finding {
  const { ways, fitted } = follow(row.places, tokens);
  const written = writtenOf(row, tokens.slice(0, fitted));
  const token = tokens[fitted];
  if (!token) return short(row, ways, written, tokens.at(-1), wordFrom, lineEnd);
  const expected = expectedOn(ways);
  const stop: Stop = { row, ways, expected, written, tokens, at: fitted, token, guess: guessed(expected, token) };
  return ways.includes(undefined) ? long(stop) : wrong(stop);
}

/** Where a line stops to fit. */
interface Stop {
  readonly row: Row;
  readonly ways: Ways;
  readonly expected: readonly Expected[];
  /** The line as far as it fits. */
  readonly written: string;
  readonly tokens: readonly IToken[];
  readonly at: number;
  readonly token: IToken;
  /** The word that was probably meant. */
  readonly guess: string | undefined;
}

const MOST_ATOMS = 8;

/** The line as far as it fits; of a long one only its end. */
function writtenOf(row: Row, tokens: readonly IToken[]): string {
  const first = tokens.length > MOST_ATOMS ? [row.word, '…'] : [row.word];
  return [...first, ...tokens.slice(-MOST_ATOMS).map((token) => shown(token.image))].join(' ');
}

function short(
  row: Row,
  ways: Ways,
  written: string,
  last: IToken | undefined,
  wordFrom: number,
  lineEnd: number,
): Finding {
  const expected = likelyOf(row, ways, last === undefined).map((way) => way[0]!);
  const plural = expected.length === 1 && isPlural(expected[0]!);
  return {
    code: 'line-short',
    severity: 'error',
    from: last?.startOffset ?? wordFrom,
    to: lineEnd,
    problem: `After '${written}' ${listed(expected)} ${plural ? 'are' : 'is'} missing.`,
    remedy: `Write for example: ${completed(row, written, ways) ?? row.example}`,
  };
}

function wrong({ row, ways, expected, written, tokens, at, token, guess }: Stop): Finding {
  const quotes = expected.some((one) => one.is === 'value' && one.place.type === 'text');
  const problem = `After '${written}' should stand ${listed(expected)}, not '${shown(token.image)}'.`;
  const advice = guess
    ? `Did you mean '${guess}'?`
    : quotes
      ? `Put it in quotes: ${written} "${shown(rest(tokens, at))}"`
      : `Write for example: ${completed(row, written, ways) ?? row.example}`;
  return {
    code: 'place-wrong',
    severity: 'error',
    from: token.startOffset,
    to: endOf(token),
    problem,
    remedy: advice,
    ...fix(guess, token, quotes ? tokens.slice(at) : []),
  };
}

function long({ row, expected, written, tokens, at, token, guess }: Stop): Finding {
  const name = row.places.at(-1);
  const splitName = name?.is === 'value' && name.type === 'name' && at > 0 && !tokens[at - 1]!.image.startsWith('"');
  if (token.tokenType !== Text && tokens[at - 1]?.tokenType === NumberRun) return noNumber(token);
  const advice = guess
    ? `Did you mean '${guess}'?`
    : splitName
      ? 'Put a name of several words in quotes.'
      : expected.length > 0
        ? `Take it out; here may still follow ${listed(expected)}.`
        : 'Take it out, or begin a comment before it with #.';
  return {
    code: 'line-long',
    severity: 'error',
    from: token.startOffset,
    to: endOf(token),
    problem: `'${shown(token.image)}' is too much on this line: it is complete with '${written}'.`,
    remedy: advice,
    ...fix(guess, token, splitName ? tokens.slice(at - 1) : []),
  };
}

const noNumber = (token: IToken): Finding => ({
  code: 'list-number',
  severity: 'error',
  from: token.startOffset,
  to: endOf(token),
  problem: `'${shown(token.image)}' in the list is no number.`,
  remedy: 'Write a number such as 0.0311, or begin a comment before it with #.',
});

type Ways = readonly (Way | undefined)[];

const rest = (tokens: readonly IToken[], from: number): string =>
  tokens
    .slice(from, from + 8)
    .map((token) => token.image.replaceAll('"', ''))
    .join(' ');

/** The fix that writes the guessed word, or puts the atoms into quotes. */
function fix(guess: string | undefined, token: IToken, inQuotes: readonly IToken[]): Pick<Finding, 'fixes'> {
  if (guess) {
    const edits = [{ from: token.startOffset, to: endOf(token), text: guess }];
    return { fixes: [{ title: `Write ${guess}`, edits }] };
  }
  const first = inQuotes[0];
  if (!first || inQuotes.some((one) => /["\\]/.test(one.image))) return {};
  const from = first.startOffset;
  const to = endOf(inQuotes.at(-1)!);
  return {
    fixes: [
      {
        title: 'Put it in quotes',
        edits: [
          { from, to: from, text: '"' },
          { from: to, to, text: '"' },
        ],
      },
    ],
  };
}

/** The word of the table that was probably meant. */
function guessed(expected: readonly Expected[], token: IToken): string | undefined {
  const words = expected.flatMap((one) =>
    one.is === 'word' ? [one.text] : one.is === 'value' && one.place.type === 'choice' ? one.place.args : [],
  );
  const guess = token.image.length <= MOST_SHOWN ? nearest(token.image, words) : undefined;
  return guess === token.image ? undefined : guess;
}

/** What was written, completed by the shortest way to its end, one that the example takes where there are several. */
function completed(row: Row, written: string, ways: Ways): string | undefined {
  const units = ways.filter((way) => way?.step.is === 'unit' && way.step.place.type === 'quantity');
  const [best] = likelyOf(row, units.length > 0 ? units : ways, written === row.word).sort(
    (a, b) => strange(row, a) - strange(row, b),
  );
  return best && [written, ...best.map((one) => sampleFor(row, one))].join(' ');
}

const strange = (row: Row, way: readonly Expected[]): number => way.filter((one) => !isInExample(row, one)).length;

/** The shortest ways to the end, and of a line that is not begun the one that the row's example takes: it is what is usually meant. */
function likelyOf(row: Row, ways: Ways, unbegun: boolean): Expected[][] {
  const all = ways.map(shortest);
  const least = Math.min(...all.map((way) => way.length));
  return all.filter((way) => way.length === least || (unbegun && way.length > 0 && strange(row, way) === 0));
}

const MOST_LISTED = 6;

/** 'the parts', 'the date or the person', "one of 'solid', 'metallic', 'pearl'". */
function listed(expected: readonly Expected[]): string {
  const words = expected.flatMap((one) =>
    one.is === 'value' && one.place.type === 'choice' ? one.place.args.map((arg) => `'${arg}'`) : [],
  );
  const others = expected
    .filter((one) => one.is !== 'value' || one.place.type !== 'choice')
    .map((one) => (one.is === 'word' && expected.length > 1 ? `'${one.text}'` : phraseOf(one)));
  const all = [...words, ...others];
  const first = all.slice(0, MOST_LISTED);
  if (all.length > MOST_LISTED) return `one of ${first.join(', ')} …`;
  return first.length < 2 ? (first[0] ?? 'something') : `${first.slice(0, -1).join(', ')} or ${first.at(-1)}`;
}
