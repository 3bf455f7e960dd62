import { describe, expect, it } from 'vitest';
import { correctFormula } from '../../../../server/answers/correct.ts';
import { type FormulaAnswer, show } from '../../../../server/answers/show.ts';
import { subject } from '../../../../server/answers/subject.ts';
import { Book } from '../../../../server/book/book.ts';
import { findingsIn } from '../../../../server/book/findings.ts';
import { type Hiding, hidingIn, settleHiding } from '../../../../server/book/optics/hiding.ts';
import { learnBook, opticsOf, solidOptics } from '../../../../server/book/optics/optics.ts';
import { samplesOf } from '../../../../server/book/optics/samples.ts';
import { whyFigure } from '../../../../server/report/markdown/figure.ts';
import { correctText } from '../../../../server/report/text/correct.ts';
import { formulaText } from '../../../../server/report/text/show-formula.ts';
import { expectationsOf } from '../../../../server/review/expectations.ts';
import { filmReading, SCATTERING, shop } from './film-shop.ts';

const white = shop.toners[0]!;

const film = (id: string, over: string, under: number, um: number) => {
  const values = Array.from(white.K, (k, w) =>
    filmReading(k * SCATTERING, white.S[w]! * SCATTERING, um, under).toFixed(4),
  );
  return `drawdown ${id} "${id}"\n  drawn 2026-09-01 by RO\n  over ${over}\n  film ${um} um in 1 coats\n  toner T0 100\n  spectrum 45/0 400..700/10 ${values.join(' ')}\n`;
};

const undercoat = `undercoat SEAL "Sealer"
  system SB
  grey N9.5 toner T0 100
  grey N2 toner T1 100
`;
const formula = `formula F-1 "Thin"
  system SB
  undercoat SEAL grey N2
  toner T5 40
  toner T0 2
  toner T2 70
  expect coats <= 1
`;
const text = [
  shop.text,
  undercoat,
  formula,
  film('B-1', 'black', 0.01, 8),
  film('W-1', 'white', 0.8, 8),
  film('B-2', 'black', 0.01, 4),
].join('\n');

const book = new Book();
book.setFile('file:///shop.pour', text);
book.loaded.set(true);
learnBook(book);
const cell = book.find('formula', 'F-1')!;

describe('films of known thickness', () => {
  it('are learned as films, and tell the scattering of the white per um', () => {
    const sample = samplesOf(book, 'SB', 'solid').samples.find(({ card }) => card === 'B-1');
    expect(sample).toMatchObject({ film: 8, under: 0.01 });
    const { scale } = solidOptics(opticsOf(book, 'SB', 'solid').learned)!.fit;
    for (const value of scale!) expect(Math.abs(value / SCATTERING - 1)).toBeLessThan(0.05);
  });

  it('make coats true figures, and a grey that costs a coat a finding', () => {
    const hiding = hidingIn(book, cell);
    if ('none' in hiding) throw new Error(hiding.none);
    expect(hiding.relative).toBe(false);
    expect(findingsIn(book, cell).map(({ code }) => code)).toContain('expectation-open');
    settleHiding(book, cell);
    const found = findingsIn(book, cell);
    const costly = found.find(({ code }) => code === 'undercoat-costly');
    expect(hiding.named!.coats ?? 1e9).toBeGreaterThan(hiding.best!.coats! + 1);
    expect(costly!.problem).toContain('Over N2 the colour');
    expect(costly!.fixes![0]!.edits[0]!.text).toBe(`N${hiding.best!.munsellValue.toFixed(1).replace('.0', '')}`);
    expect(found.map(({ code }) => code)).toContain('expectation-fails');
  });
});

describe('what is expected of hiding', () => {
  const expecting = (...lines: readonly string[]) =>
    text.replace('  expect coats <= 1\n', lines.map((line) => `  expect ${line}\n`).join(''));
  const told = (of: Book) =>
    findingsIn(of, of.find('formula', 'F-1')!)
      .filter(({ code }) => code.startsWith('expectation'))
      .map(({ code, problem }) => `${code}: ${problem}`);
  const settled = (of: Book) => {
    settleHiding(of, of.find('formula', 'F-1')!);
    return told(of);
  };
  const best = () => (hidingIn(book, cell) as Hiding).best!;

  it('of the grey is held against the one that hides soonest, by half steps', () => {
    const value = best().munsellValue;
    const edited = new Book();
    edited.setFile('file:///shop.pour', expecting(`grey = N${value}`, `grey = N${value - 0.5}`, `grey >= N${value}`));
    edited.loaded.set(true);
    learnBook(edited);
    expect(told(edited)).toHaveLength(3);
    expect(told(edited)[0]).toContain('expectation-open: This cannot be checked yet: hiding is being worked out.');
    expect(settled(edited)).toEqual([
      `expectation-fails: This does not hold: the grey that hides soonest is predicted to be N${value} (L* ${best().lightness.toFixed(0)}).`,
    ]);
    const [state] = expectationsOf({ book: edited }, edited.find('formula', 'F-1')!);
    expect(state).toMatchObject({ is: 'holds' });
  });

  it('starts and stops to hold with the edits', () => {
    const edited = new Book();
    const set = (content: string) => edited.setFile('file:///shop.pour', content);
    set(expecting('coats <= 12'));
    edited.loaded.set(true);
    learnBook(edited);
    expect(settled(edited).join()).toContain('expectation-fails: This does not hold: the colour is predicted');
    // over the best grey it hides sooner, and more of a hiding toner does more
    set(expecting('coats <= 60').replace('SEAL grey N2\n', `SEAL grey N${best().munsellValue}\n`));
    expect(settled(edited)).toEqual([]);
    set(expecting('coats <= 12').replace('toner T0 2\n', 'toner T0 60\n'));
    expect(settled(edited)).toEqual([]);
    set(expecting('coats <= 12').replace('toner T0 2\n', 'toner NEW 2\n'));
    expect(settled(edited).join()).toContain(
      'expectation-open: This cannot be checked yet: nothing is predicted, since NEW',
    );
    set(expecting('coats <= 12').replace('  undercoat SEAL grey N2\n', ''));
    expect(settled(edited).join()).toContain('names no undercoat');
    set(expecting('coats <= 12'));
    expect(settled(edited).join()).toContain('expectation-fails');
  });

  it('of coats is open while no film of known thickness was read', () => {
    const relative = new Book();
    relative.setFile('file:///shop.pour', [shop.text, undercoat, formula].join('\n'));
    relative.loaded.set(true);
    learnBook(relative);
    expect(settled(relative).join()).toContain('coats compare with each other only');
  });
});

it('draws coats against grey where one asks for the grey', () => {
  const line = cell.entry.lines.find(({ word }) => word === 'undercoat')!;
  const grey = line.values.find(({ place }) => place === 'grey')!;
  const told = whyFigure(book, cell, line, grey)!;
  const picture = /!\[[^\]]*\]\(data:image\/svg\+xml;base64,([^)]+)\)/.exec(told)![1]!;
  const svg = Buffer.from(picture, 'base64').toString('utf8');
  expect(svg).toMatch(/^<svg width="480" height="260" color="#808080"/);
  expect(svg).toContain('Coats to hide, F-1');
  expect(svg).toContain('named N2:');
});

it('finds the one grey over which a very clear paint hides', () => {
  const clear = new Book();
  clear.setFile('file:///shop.pour', text.replace('toner T5 40\n  toner T0 2', 'toner T3 40\n  toner T0 2'));
  clear.loaded.set(true);
  learnBook(clear);
  const hiding = hidingIn(clear, clear.find('formula', 'F-1')!);
  if ('none' in hiding) throw new Error(hiding.none);
  expect(hiding.named!.coats).toBeNull();
  expect(hiding.best!.munsellValue).toBeCloseTo(8, 6);
});

describe('a card whose film does not hide', () => {
  const parts = (first: number) => `  toner T0 ${first}\n  toner T5 ${40 - first}\n  toner T2 60\n`;
  const lab = (first: number) => {
    const [k, s] = (['K', 'S'] as const).map((of) =>
      Array.from(
        white.K,
        (_, w) =>
          SCATTERING *
          [0, 5, 2].reduce((sum, t, i) => sum + ([first, 40 - first, 60][i]! / 100) * shop.toners[t]![of][w]!, 0),
      ),
    );
    return k!.map((value, w) => filmReading(value, s![w]!, 8, 0.8).toFixed(4)).join(' ');
  };
  const more = `reading STD "Standard"\n  spectrum 45/0 400..700/10 ${lab(20)}\n
formula F-9 "Thin"\n  system SB\n  standard STD\n${parts(28)}
sprayout F-9-card of F-9\n  sprayed 2026-09-02 by RO\n  over white\n  film 8 um in 1 coats\n${parts(28)}  spectrum 45/0 400..700/10 ${lab(28)}\n`;
  const made = new Book();
  made.setFile('file:///shop.pour', `${text}\n${more}`);
  made.loaded.set(true);
  learnBook(made);

  it('is corrected as that film, and the answer says so', () => {
    const answer = correctFormula(made, subject(made, 'F-9'), []);
    expect(answer.film).toMatchObject({ um: 8 });
    expect(answer.film!.shows).toBeGreaterThan(1);
    expect(correctText(answer)).toMatch(/Counted as the card's film of 8 um over L\* \d+, not as one that hides/);
    const revised = new Map(answer.revised.toners.map((toner) => [toner.code, toner.parts]));
    expect(Math.abs(revised.get('T0')! - 20)).toBeLessThan(1.5);
    expect(revised.get('T2')).toBe(60);
  });
});

describe('the cost of a wrong grey', () => {
  const named = (shown: Book) => (show(shown, subject(shown, 'F-1')) as FormulaAnswer).namedGrey!;
  const withSolids = (content: string) => content.replaceAll('price 30 EUR/l', 'solids 40 % volume');
  const other = (content: string): Book => {
    const made = new Book();
    made.setFile('file:///shop.pour', content);
    made.loaded.set(true);
    learnBook(made);
    return made;
  };

  it('is told in coats, as a factor, and in grams where solids are known', () => {
    const { namedGrey, bestGrey } = show(book, subject(book, 'F-1')) as FormulaAnswer;
    expect(namedGrey!.moreCoats!).toBeCloseTo(namedGrey!.coats! - bestGrey!.coats!, 0);
    expect(namedGrey!.factor!).toBeCloseTo(namedGrey!.coats! / bestGrey!.coats!, 1);
    expect(namedGrey!.moreGramsPerSquareMetre).toBeNull();

    const solid = other(withSolids(text));
    const cost = named(solid);
    // every toner has 40 % of solids by volume and 1.1 g/ml; films of 4, 8 and 8 um in one coat
    const more = hidingIn(solid, solid.find('formula', 'F-1')!) as Hiding;
    expect(more.film).toBe(8);
    const grams = (more.named!.coats! - more.best!.coats!) * (8 / 0.4) * 1.1;
    expect(Math.abs(cost.moreGramsPerSquareMetre! - grams)).toBeLessThanOrEqual(0.51);
    expect(formulaText(show(solid, subject(solid, 'F-1')) as FormulaAnswer)).toMatch(
      /The named grey costs [\d.]+ coats more than the best grey \([\d.]+ times as much\), about \d+ g of paint on each m2, predicted/,
    );
  });

  it('is a factor only while coats are relative', () => {
    const relative = other(withSolids([shop.text, undercoat, formula].join('\n')));
    const cost = named(relative);
    if (cost.coats !== null) expect(cost.factor).toBeGreaterThanOrEqual(1);
    expect(cost.moreGramsPerSquareMetre).toBeNull();
  });
});
