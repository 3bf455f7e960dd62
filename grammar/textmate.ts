/**
 * TextMate grammars and the editor's language configuration, written from the table of words. `npx tsx .scripts/grammar.ts` writes the
 * files; a test fails while they are not up to date.
 */
import { DIMENSIONS, unitsOf } from '../server/exact/units.ts';
import { flatten, type Place } from './place.ts';
import { bodyWords, headRows, rows } from './words.ts';

const escaped = (word: string): string => word.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
/** The longest first, so that none hides another. */
const oneOf = (words: Iterable<string>): string =>
  [...new Set(words)]
    .sort((a, b) => b.length - a.length || (a < b ? -1 : 1))
    .map(escaped)
    .join('|');

/** An atom begins behind a blank and ends before one. */
const atom = (inside: string): string => `(?<![^ \\t])(?:${inside})(?![^ \\t\\r\\n])`;

const NUMBER = '[+-]?\\d+(?:\\.\\d+)?';
const ID = '[^ \\t\\r\\n"#][^ \\t\\r\\n"]*';

const units = (): string =>
  `${oneOf(DIMENSIONS.flatMap((dimension) => unitsOf(dimension).map((unit) => unit.symbol)))}|[A-Z]{3}(?:\\/[A-Za-z-]+)?`;

/** Words of the table that stand inside lines. */
function literals(): string[] {
  const words = rows.flatMap((row) =>
    [...flatten(row.places)].flatMap((place) =>
      place.is === 'word' ? [place.text] : place.type === 'choice' ? place.args : [],
    ),
  );
  return words.filter((word) => /^[a-z]/.test(word));
}

/** What may stand first behind the word of each row of the body. */
const firsts = (): { word: string; places: Place[] }[] =>
  rows
    .filter((row) => !row.head)
    .map(({ word, places: [first] }) => ({
      word,
      places: first?.is === 'either' ? first.ways.flatMap((way) => way.slice(0, 1)) : first ? [first] : [],
    }));

const names = (place: Place): boolean => place.is === 'value' && place.type === 'ref';

/** Words of the body behind which another entry may be named at once. */
const referring = (): string[] =>
  firsts()
    .filter(({ places }) => places.some(names))
    .map(({ word }) => word);

/** Words that may stand there instead of the name. */
function insteadOfName(): string[] {
  const words = new Set(referring());
  return firsts()
    .filter(({ word }) => words.has(word))
    .flatMap(({ places }) => places)
    .flatMap((place) =>
      place.is === 'word' ? [place.text] : place.is === 'value' && place.type === 'choice' ? place.args : [],
    );
}

const include = (name: string) => ({ include: `#${name}` });

export function textMateGrammar(): object {
  return {
    name: 'Pourbook',
    scopeName: 'source.pour',
    fileTypes: ['pour'],
    patterns: ['conflict', 'comment', 'head', 'reference', 'body', 'list'].map(include),
    repository: {
      conflict: { name: 'markup.changed.conflict.pour', match: '^(?:<{7}|\\|{7}|={7}|>{7})(?=[ \\r\\n]|$).*$' },
      comment: { name: 'comment.line.number-sign.pour', match: '(?:^|(?<=[ \\t]))#.*$' },
      head: {
        begin: `^\\ufeff?(${oneOf(headRows.keys())})(?=[ \\t\\r\\n]|$)(?:[ \\t]+(${ID}))?`,
        beginCaptures: { 1: { name: 'keyword.control.pour' }, 2: { name: 'entity.name.type.pour' } },
        end: '$',
        patterns: [include('values')],
      },
      reference: {
        begin: `^[ \\t]+(${oneOf(referring())})[ \\t]+(?!(?:${oneOf(insteadOfName())})(?:[ \\t]|$))(${ID})`,
        beginCaptures: { 1: { name: 'keyword.other.pour' }, 2: { name: 'variable.other.pour' } },
        end: '$',
        patterns: [include('values')],
      },
      body: {
        begin: `^[ \\t]+(${oneOf(bodyWords)})(?=[ \\t\\r\\n]|$)`,
        beginCaptures: { 1: { name: 'keyword.other.pour' } },
        end: '$',
        patterns: [include('values')],
      },
      list: { begin: '^[ \\t]+(?=[+-]?\\d)', end: '$', patterns: [include('values')] },
      values: {
        patterns: ['text', 'comment', 'date', 'measure', 'range', 'quantity', 'number', 'operator', 'literal'].map(
          include,
        ),
      },
      text: {
        name: 'string.quoted.double.pour',
        begin: '"',
        end: '"|$',
        patterns: [
          { name: 'constant.character.escape.pour', match: '\\\\["\\\\]' },
          { name: 'invalid.illegal.escape.pour', match: '\\\\.' },
        ],
      },
      date: {
        name: 'constant.other.date.pour',
        match: atom('\\d{4}-\\d\\d-\\d\\d(?:T\\d\\d:\\d\\d(?::\\d\\d)?(?:Z|[+-]\\d\\d:\\d\\d)?)?'),
      },
      measure: {
        name: 'constant.other.measure.pour',
        match: atom('\\d+as-?\\d+|\\d+\\/\\d+|d\\/\\d+|\\d+\\/d|[A-Z][A-Za-z0-9-]*\\/(?:2|10)|N\\d+(?:\\.\\d+)?|L\\*'),
      },
      range: {
        name: 'constant.numeric.range.pour',
        match: atom('\\d+(?:\\.\\d+)?\\.\\.(?:\\d+(?:\\.\\d+)?(?:\\/\\d+(?:\\.\\d+)?)?)?'),
      },
      quantity: {
        match: `(?<![^ \\t])(${NUMBER})[ \\t]+(${units()})(?![^ \\t\\r\\n])`,
        captures: { 1: { name: 'constant.numeric.pour' }, 2: { name: 'keyword.other.unit.pour' } },
      },
      number: { name: 'constant.numeric.pour', match: atom(NUMBER) },
      operator: { name: 'keyword.operator.comparison.pour', match: atom('<=|>=|<|>|=') },
      literal: { name: 'support.constant.pour', match: atom(oneOf(literals())) },
    },
  };
}

/** Highlights fenced blocks marked `pour` inside Markdown. */
export function markdownGrammar(): object {
  return {
    scopeName: 'markdown.pour.codeblock',
    injectionSelector: 'L:text.html.markdown',
    patterns: [include('fence')],
    repository: {
      fence: {
        name: 'markup.fenced_code.block.markdown',
        begin: '^([ \\t]*)(`{3,}|~{3,})[ \\t]*(pour)(?=[ \\t{]|$)([^`]*)$',
        beginCaptures: {
          2: { name: 'punctuation.definition.markdown' },
          3: { name: 'fenced_code.block.language.markdown' },
        },
        end: '^[ \\t]*(\\2)[ \\t]*$',
        endCaptures: { 1: { name: 'punctuation.definition.markdown' } },
        patterns: [
          {
            contentName: 'meta.embedded.block.pour',
            begin: '^',
            while: '^(?![ \\t]*(?:`{3,}|~{3,})[ \\t]*$)',
            patterns: [{ include: 'source.pour' }],
          },
        ],
      },
    },
  };
}

/** Comments, quotes, words, indents and folding, as editors want them. */
export function languageConfiguration(): object {
  return {
    comments: { lineComment: '#' },
    brackets: [],
    autoClosingPairs: [{ open: '"', close: '"', notIn: ['string', 'comment'] }],
    surroundingPairs: [['"', '"']],
    // An atom is one word: GRN-2, SAM-31/dark, 41.20, 45as-15, D65/10.
    wordPattern: '[^\\s"]+',
    folding: { offSide: true },
    indentationRules: {
      increaseIndentPattern: `^(?:${oneOf(headRows.keys())})(?:[ \\t].*)?$`,
      decreaseIndentPattern: '^(?!)',
    },
    onEnterRules: [{ beforeText: '^[ \\t]+$', action: { indent: 'outdent' } }],
  };
}
