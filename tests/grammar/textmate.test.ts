/** The TextMate grammars, run by the engine that editors run. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { beforeAll, describe, expect, it } from 'vitest';
import type { IGrammar, IRawGrammar } from 'vscode-textmate';
import { parseEntry } from '../../grammar/parse.ts';
import { markdownGrammar, textMateGrammar } from '../../grammar/textmate.ts';
import { headRows, rows } from '../../grammar/words.ts';
import { corpus } from './corpus.ts';

const require = createRequire(import.meta.url);
const { INITIAL, Registry } = require('vscode-textmate') as typeof import('vscode-textmate');
const oniguruma = require('vscode-oniguruma') as typeof import('vscode-oniguruma');

/** Just enough of a Markdown grammar to be injected into. */
const markdown = { scopeName: 'text.html.markdown', patterns: [{ match: '^#.*$', name: 'markup.heading' }] };
const grammars: Record<string, object> = {
  'source.pour': textMateGrammar(),
  'markdown.pour.codeblock': markdownGrammar(),
  'text.html.markdown': markdown,
};

let pour: IGrammar;
let fences: IGrammar;

beforeAll(async () => {
  const wasm = readFileSync(require.resolve('vscode-oniguruma/release/onig.wasm'));
  await oniguruma.loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength));
  const registry = new Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async (scope) => grammars[scope] as unknown as IRawGrammar,
    getInjections: (scope) => (scope === 'text.html.markdown' ? ['markdown.pour.codeblock'] : undefined),
  });
  pour = (await registry.loadGrammar('source.pour'))!;
  fences = (await registry.loadGrammar('text.html.markdown'))!;
});

/** Each piece of the text that has a scope of ours, as `piece: scope`. */
function scopes(grammar: IGrammar, text: string): string[] {
  let state = INITIAL;
  const found: string[] = [];
  for (const line of text.split(/\r?\n/)) {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, state);
    state = ruleStack;
    for (const token of tokens) {
      const piece = line.slice(token.startIndex, token.endIndex).trim();
      const scope = token.scopes.at(-1)!;
      if (piece !== '' && token.scopes.length > 1) found.push(`${piece}: ${scope.replace(/\.(pour|markdown)$/, '')}`);
    }
  }
  return found;
}

describe('the grammar of the language', () => {
  it('tells words, ids, numbers, units, texts and comments apart', () => {
    expect(
      scopes(
        pour,
        `# a comment
formula SAM-31 "Samphire" # green
  target weight 250 g as poured
  toner BLK-1  1.25
  lab 45as15   take 1 61.92 -18.40 9.81
  expect       sprayout worst <= 1.0 dE00
  undercoat    SEAL grey N5`,
      ),
    ).toEqual([
      '# a comment: comment.line.number-sign',
      'formula: keyword.control',
      'SAM-31: entity.name.type',
      '": string.quoted.double',
      'Samphire: string.quoted.double',
      '": string.quoted.double',
      '# green: comment.line.number-sign',
      'target: keyword.other',
      'weight: support.constant',
      '250: constant.numeric',
      'g: keyword.other.unit',
      'as: support.constant',
      'poured: support.constant',
      'toner: keyword.other',
      'BLK-1: variable.other',
      '1.25: constant.numeric',
      'lab: keyword.other',
      '45as15: constant.other.measure',
      'take: support.constant',
      '1: constant.numeric',
      '61.92: constant.numeric',
      '-18.40: constant.numeric',
      '9.81: constant.numeric',
      'expect: keyword.other',
      'sprayout: support.constant',
      'worst: support.constant',
      '<=: keyword.operator.comparison',
      '1.0: constant.numeric',
      'dE00: keyword.other.unit',
      'undercoat: keyword.other',
      'SEAL: variable.other',
      'grey: support.constant',
      'N5: constant.other.measure',
    ]);
  });

  it('marks the lines of a conflict', () => {
    expect(scopes(pour, '<<<<<<< ours\n  toner A 1\n=======')).toContain('<<<<<<< ours: markup.changed.conflict');
  });

  it('knows every word of the table', () => {
    for (const row of rows) {
      const text = row.head ? row.example : `${headRows.get(row.in[0]!)!.example}\n  ${row.example}`;
      expect(scopes(pour, text)).toContain(`${row.word}: keyword.${row.head ? 'control' : 'other'}`);
    }
  });

  it('sees a word where the parser sees one, in every clean entry of the corpus', () => {
    for (const { text } of corpus) {
      const entry = parseEntry({ text, side: 'none' });
      if (entry.findings.length > 0) continue;
      const words = scopes(pour, text.replace(/^\ufeff/, '')).filter((one) => / keyword\.(control|other)$/.test(one));
      const read = (entry.head ? [entry.head, ...entry.lines] : entry.lines).filter((line) => line.row);
      expect(words.map((one) => one.split(':')[0])).toEqual(read.map((line) => line.word));
    }
  });
});

describe('fences in Markdown', () => {
  it('are highlighted inside, and end', () => {
    const found = scopes(fences, '# Title\n\n```pour\nformula A "a"\n  toner B 1\n```\n\n# toner B 1\n');
    expect(found).toContain('formula: keyword.control');
    expect(found).toContain('B: variable.other');
    expect(found.at(-1)).toBe('# toner B 1: markup.heading');
  });

  it('of other languages are left alone', () => {
    expect(scopes(fences, '```pourquoi\nformula A "a"\n```')).toEqual([]);
  });
});
