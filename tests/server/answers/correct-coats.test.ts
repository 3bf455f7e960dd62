/**
 * Putting right a colour of several coats. What is sprayed before and after comes from the simulation of rays (tests/simulator), which
 * shares nothing with the model that corrects.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { correctBatch, correctFormula } from '../../../server/answers/correct.ts';
import { subject } from '../../../server/answers/subject.ts';
import type { Book } from '../../../server/book/book.ts';
import { angleAt, coloursIn, labOf } from '../../../server/book/colours.ts';
import { findingsOfFile } from '../../../server/book/findings.ts';
import { shopOf } from '../../../server/book/known.ts';
import { readLock } from '../../../server/book/optics/lock.ts';
import { putFits } from '../../../server/book/optics/optics.ts';
import { recipeNamed } from '../../../server/book/recipe.ts';
import { deltaE00 } from '../../../server/colour/ciede2000.ts';
import { loadBook } from '../../../server/command/load.ts';
import { correctText } from '../../../server/report/text/correct.ts';
import { readHandWritten } from '../../simulator/sample/book.ts';
import { writer } from '../../simulator/sample/entries.ts';
import { spray } from '../../simulator/sample/spray.ts';

const root = fileURLToPath(new URL('../../../samples', import.meta.url));
const uri = 'file:///more.pour';

const ground = { 'WHT-1': 92, 'BLK-4': 0.7, 'YEL-3': 0.55, 'BND-0': 6.75 };
const mid = { 'PRL-3': 18, 'BND-0': 82 };
interface Coats {
  readonly ground: Readonly<Record<string, number>>;
  readonly mid: Readonly<Record<string, number>>;
  readonly times: number;
}
/** What was written down first: too little pearl; a ground too dark; a mid coat too few. The standard has two coats of the right ones. */
const weak: Coats = { ground, mid: { 'PRL-3': 11, 'BND-0': 89 }, times: 2 };
const dark: Coats = { ground: { ...ground, 'BLK-4': 1.6 }, mid, times: 2 };
const few: Coats = { ground, mid, times: 1 };
const pale: Coats = { ground: { 'WHT-1': 92, 'BLK-4': 0.7, 'BND-0': 7.3 }, mid, times: 2 };

const lines = (parts: object) => Object.entries(parts).map(([code, amount]) => `  toner ${code} ${amount}`);

function formulaText(id: string, coats: Coats): string {
  const head = [`formula ${id} "${id}"`, '  system WB', '  undercoat SEAL grey N8', '  standard PRL-tailgate'];
  const body = ['  coat ground', ...lines(coats.ground), `  coat mid coats ${coats.times}`, ...lines(coats.mid), ''];
  return [...head, ...body].join('\n');
}

function cardText(of: string, id: string, coats: Coats): string {
  const hand = readHandWritten([join(root, 'book')]);
  const coat = (name: 'ground' | 'mid', parts: object) => ({
    name,
    times: name === 'mid' ? coats.times : 1,
    parts: new Map<string, number>(Object.entries(parts)),
  });
  hand.formulas.set(of, {
    grey: 'SEAL grey N8',
    system: 'WB',
    coats: [coat('ground', coats.ground), coat('mid', coats.mid)],
  });
  const { sprayout } = writer(hand, (panel) => spray(panel, hand, 5_000));
  return sprayout({ of, id, sprayed: '2026-11-20', by: 'RO', mid: coats.times }).join('\n');
}

async function sampleBook(more: string): Promise<Book> {
  const book = await loadBook(root);
  book.setFile(uri, more);
  putFits(book, readLock(readFileSync(join(root, 'optics.lock'), 'utf8')));
  return book;
}

/** Mean dE00 of a card from the standard over the angles. */
function missOf(book: Book, card: string): number {
  const main = shopOf(book).viewings[0]!;
  const labs = (kind: 'reading' | 'sprayout', id: string) => {
    const read = coloursIn(book, book.find(kind, id)!);
    return ['45as15', '45as25', '45as45', '45as75', '45as110'].map(
      (angle) => labOf(angleAt(read, angle)!, main, read.bandpass)!,
    );
  };
  const standard = labs('reading', 'PRL-tailgate');
  return labs('sprayout', card).reduce((sum, lab, a) => sum + deltaE00(standard[a]!, lab), 0) / 5;
}

/** The coats of a variant, as the book works them out. */
function coatsOf(book: Book, id: string): Coats {
  const recipe = recipeNamed(book, id)!;
  const parts = (name: string) =>
    Object.fromEntries(
      recipe.coats.find((coat) => coat.name === name)!.toners.map((toner) => [toner.code, toner.parts.valueOf()]),
    );
  return { ground: parts('ground'), mid: parts('mid'), times: recipe.coats.find(({ name }) => name === 'mid')!.coats! };
}

describe('a colour of several coats that missed', () => {
  let text: string;
  let book: Book;
  beforeAll(async () => {
    const cases = { WEAK: weak, DARK: dark, FEW: few, PALE: pale };
    const all = Object.entries(cases).map(
      ([id, coats]) => `${formulaText(id, coats)}\n${cardText(id, `${id}-card`, coats)}\n`,
    );
    const batch = [
      'batch CUP of WEAK',
      '  coat mid',
      '  make 100 g',
      ...Object.entries(weak.mid).map(([code, g]) => `  poured ${code} ${g} g`),
      '',
    ];
    text = [...all, batch.join('\n')].join('\n');
    book = await sampleBook(text);
  }, 120_000);

  const corrected = (id: string, coat?: 'ground' | 'mid') => correctFormula(book, subject(book, id), [], coat);

  /** Sprays what the variant says and tells how far it is off, before and after. */
  async function resprayed(id: string, coat?: 'ground' | 'mid'): Promise<{ before: number; after: number }> {
    const { variant } = corrected(id, coat);
    const first = await sampleBook(`${text}\n${variant}`);
    expect(findingsOfFile(first, uri).filter(({ severity }) => severity === 'error')).toEqual([]);
    const card = cardText(`${id}/corrected`, 'AGAIN', coatsOf(first, `${id}/corrected`));
    const second = await sampleBook(`${text}\n${variant}\n${card}\n`);
    const told = { before: missOf(second, `${id}-card`), after: missOf(second, 'AGAIN') };
    console.log(`${id}: ${told.before.toFixed(2)} dE00 before, ${told.after.toFixed(2)} as sprayed again`);
    return told;
  }

  it('too little pearl is put right in the mid coat', async () => {
    const answer = corrected('WEAK', 'mid');
    expect(answer.coat).toBe('mid');
    expect(answer.revised.toners.find(({ code }) => code === 'PRL-3')!.delta).toBeGreaterThan(2);
    expect(answer.variant).toMatch(/^variant WEAK\/corrected "After WEAK-card"\n {2}coat mid\n {2}toner PRL-3 \+/);
    const { before, after } = await resprayed('WEAK', 'mid');
    expect(after).toBeLessThan(0.6 * before);
  }, 60_000);

  it('a ground that is too dark is put right in the ground', async () => {
    const answer = corrected('DARK');
    expect(answer.coat).toBe('ground');
    expect(answer.revised.toners.find(({ code }) => code === 'BLK-4')!.delta).toBeLessThan(-0.3);
    expect(answer.variant).toContain('\n  coat ground\n');
    const { before, after } = await resprayed('DARK');
    expect(after).toBeLessThan(0.6 * before);
  }, 60_000);

  it('a mid coat too few is a mid coat more, with the toners as they are', async () => {
    const answer = corrected('FEW');
    console.log(`another coat ${answer.midCoats!.after}, other parts ${answer.revised.after}`);
    expect(answer.midCoats).toMatchObject({ coats: 2, now: 1, card: null });
    expect(answer.take).toBe('coats');
    expect(answer.advice).toMatch(/^Spray 2 mid coats instead of 1, with the toners as they are/);
    expect(answer.variant).toBe('variant FEW/corrected "After FEW-card"\n  coat mid coats 2\n');
    const { before, after } = await resprayed('FEW');
    expect(after).toBeLessThan(0.6 * before);
  }, 60_000);

  it('takes the panel where another number of mid coats was read', async () => {
    const other = await sampleBook(`${text}\n${cardText('FEW', 'FEW-two', { ...few, times: 2 })}\n`);
    const answer = correctFormula(other, subject(other, 'FEW'), ['FEW-card']);
    expect(answer.midCoats).toMatchObject({ coats: 2, card: 'FEW-two' });
    expect(answer.advice).toContain('measured on FEW-two');
    expect(() => correctFormula(other, subject(other, 'FEW'), ['FEW-two'])).toThrow('has another number of coats');
  }, 60_000);

  it('says what each coat would do, and changes the one that is named', () => {
    const answer = corrected('DARK', 'mid');
    expect(answer.coat).toBe('mid');
    expect(corrected('DARK').coats.map(({ coat }) => coat)).toEqual(['mid', 'ground']);
    expect(correctText(corrected('DARK'))).toMatch(
      /Changed alone, predicted: the mid coat [\d.]+ dE00, the ground coat/,
    );
    expect(() => correctFormula(book, subject(book, 'DARK'), [], 'top')).toThrow(
      'DARK has no top coat. It has: ground, mid.',
    );
  });

  it('names the toner that the ground lacks', () => {
    const answer = corrected('PALE', 'ground');
    expect(answer.withToner!.toner).toBe('YEL-3');
    expect(answer.withToner!.after).toBeLessThan(answer.revised.after / 2);
    expect(answer.withToner!.variant).toMatch(/\n {2}coat ground\n[\s\S]* {2}toner YEL-3 \+0\.\d/);
  });

  it('a cup of the mid coat is brought nearer by adding to it alone', () => {
    const answer = correctBatch(book, subject(book, 'CUP'));
    expect(answer.coat).toBe('mid');
    expect(answer.additions.map(({ toner }) => toner)).toEqual(['PRL-3']);
    expect(answer.predicted.after).toBeLessThan(answer.predicted.before);
  });

  it('a cup that does not say its coat is asked for it', async () => {
    const unsaid = await sampleBook(text.replace('\n  coat mid\n  make', '\n  make'));
    expect(() => correctBatch(unsaid, subject(unsaid, 'CUP'))).toThrow(/write coat and one of ground, mid/);
  });

  it('two cards that differ by more than the change is worth: spray again', async () => {
    const twice = await sampleBook(
      `${text}\n${cardText('DARK', 'DARK-other', { ...dark, ground })}\n`.replace(
        /(DARK-other[\s\S]*?BLK-4\s+)0\.7/,
        '$11.6',
      ),
    );
    const answer = correctFormula(twice, subject(twice, 'DARK'), []);
    expect(answer.cards).toHaveLength(2);
    expect(answer.take).toBe('spray again');
    expect(answer.doubt!.cards).toEqual(expect.arrayContaining(['DARK-card', 'DARK-other']));
    expect(answer.advice).toMatch(/^Spray again before you change the formula: .* differ by [\d.]+ dE00/);
  }, 60_000);
});
