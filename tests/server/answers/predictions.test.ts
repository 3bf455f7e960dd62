import { describe, expect, it } from 'vitest';
import { coatsChart } from '../../../server/answers/coats-chart.ts';
import { correctBatch, correctFormula } from '../../../server/answers/correct.ts';
import { formulate } from '../../../server/answers/formulate.ts';
import { fitAnswer } from '../../../server/answers/optics-fit.ts';
import { predictedHints } from '../../../server/answers/predicted-hints.ts';
import { type FormulaAnswer, show } from '../../../server/answers/show.ts';
import { subject } from '../../../server/answers/subject.ts';
import { Book } from '../../../server/book/book.ts';
import { findingsOfFile } from '../../../server/book/findings.ts';
import { settleHiding } from '../../../server/book/optics/hiding.ts';
import { learnBook } from '../../../server/book/optics/optics.ts';
import { deltaE00, labUnder, lightFor } from '../../../server/paint/light.ts';
import type { Component } from '../../../server/paint/mixture.ts';
import { correctText } from '../../../server/report/text/correct.ts';
import { formulateText } from '../../../server/report/text/formulate.ts';
import { formulaText } from '../../../server/report/text/show-formula.ts';
import { cardText, readingText, simulatedShop, tonerLines } from '../book/optics/simulated-shop.ts';
import { reading } from '../paint/simulated-book.ts';

const uri = 'file:///shop/shop.pour';
const shop = simulatedShop(11, 8, 70);
const { toners } = shop;

const wanted: Component[] = [
  { toner: 0, share: 0.4 },
  { toner: 4, share: 0.12 },
  { toner: 1, share: 0.03 },
  { toner: 2, share: 0.45 },
];
/** What the shop wrote first: too much of one, too little of another. */
const first: Component[] = [
  { toner: 0, share: 0.36 },
  { toner: 4, share: 0.17 },
  { toner: 1, share: 0.02 },
  { toner: 2, share: 0.45 },
];
const card = cardText(
  'F-card',
  toners,
  first,
  reading(toners, first),
  'sprayout F-card of F-1\n  sprayed 2026-10-01 by RO',
);
const more = `
undercoat SEAL "Sealer"
  system SB
  grey N9.5 toner T0 100
  grey N2 toner T1 100

formula F-1 "First try"
  system SB
  undercoat SEAL grey N2
  standard STD
${tonerLines(toners, first)}
  expect predicted <= 20 dE00
  expect predicted <= 0.01 dE00
  expect coats <= 50

formula F-2 "With a stranger"
  system SB
  toner T0 50
  toner NEW 50

formula F-3 "Binder alone"
  system SB
  undercoat SEAL grey N2
  toner T2 100

toner NEW "Never sprayed"
  system SB
  kind opaque

batch B-1 of F-1
${first.map(({ toner, share }) => `  poured ${toners[toner]!.code} ${(200 * share).toFixed(1)} g`).join('\n')}
`;
const text = [shop.text, more, readingText('STD', reading(toners, wanted)), card].join('\n');

function bookWith(content: string): Book {
  const book = new Book();
  book.setFile(uri, content);
  book.loaded.set(true);
  learnBook(book);
  return book;
}

const book = bookWith(text);
const shown = (id: string) => show(book, subject(book, id)) as FormulaAnswer;
const light = lightFor('D65/10', 400, 10, 31);

describe('what is predicted of a formula', () => {
  it('is near what the simulated paint really reads, within its ±', () => {
    const { predicted, predictedState } = shown('F-1');
    expect(predictedState).toBe('ready');
    expect(predicted.map(({ geometry, illuminant }) => `${geometry} ${illuminant}`)).toEqual([
      '45/0 D65',
      '45/0 A',
      '45/0 F11',
    ]);
    const [main] = predicted;
    expect(deltaE00(main!.lab, labUnder(light, reading(toners, first)))).toBeLessThan(Math.max(main!.plusMinus, 0.3));
    expect(main!.plusMinus).toBeGreaterThan(0);
  });

  it('says coats over the named grey and over the best, which needs no more', () => {
    const { namedGrey, bestGrey, coats, coatsRelative } = shown('F-1');
    expect(coatsRelative).toBe(true);
    expect(namedGrey).toMatchObject({ undercoat: 'SEAL', munsellValue: 2 });
    expect(bestGrey!.coats!).toBeLessThanOrEqual(namedGrey!.coats!);
    expect(coats).toBe(namedGrey!.coats);
    const chart = coatsChart(book, subject(book, 'F-1'));
    const fewest = Math.min(...chart.points.map((point) => point.coats ?? 1e9));
    expect(chart.best!.coats!).toBeCloseTo(fewest, 6);
  });

  it('tells what one per cent of each toner does', () => {
    const { tints } = shown('F-1');
    expect(tints.map(({ toner }) => toner).sort()).toEqual(['T0', 'T1', 'T2', 'T4']);
    expect(tints.find(({ toner }) => toner === 'T1')!.words).toContain('darker');
    for (const tint of tints) expect(tint).toMatchObject({ flop: null, dE: expect.any(Number) });
  });

  it('predicts nothing with a toner that no card holds, and says which', () => {
    const answer = shown('F-2');
    expect(answer.predicted).toEqual([]);
    expect(answer.predictedState).toBe('none');
    expect(answer.predictedNote).toContain('NEW');
    expect(formulaText(answer)).toContain('Nothing is predicted: no card holds NEW');
  });

  it('predicts nothing of a clear alone, which shows what is below', () => {
    const answer = shown('F-3');
    expect(answer).toMatchObject({ predicted: [], predictedState: 'none', coats: null, bestGrey: null });
    expect(formulaText(answer)).toContain('Nothing is predicted: it is clear, so it neither hides nor colours');
  });

  it('is called predicted in the text, and recomputing after a card has changed', () => {
    expect(formulaText(shown('F-1'))).toMatch(/Predicted, not measured[\s\S]*± /);
    const edited = bookWith(text);
    edited.setFile(uri, text.replace(/(drawdown C1 [\s\S]*?spectrum 45\/0 400\.\.700\/10 )0\.\d+/, '$10.9'));
    const answer = show(edited, subject(edited, 'F-1')) as FormulaAnswer;
    expect(answer.predictedState).toBe('recomputing');
    expect(answer.predicted).toEqual(shown('F-1').predicted);
    expect(formulaText(answer)).toContain('recomputing');
  });

  it('is held against what is expected of it', () => {
    settleHiding(book, subject(book, 'F-1'));
    const found = findingsOfFile(book, uri).filter(({ code }) => code.startsWith('expectation'));
    expect(found.map(({ code }) => code)).toEqual(['expectation-fails', 'expectation-open']);
    expect(found[1]!.problem).toContain('coats compare with each other only');
    expect(found[0]!.problem).toMatch(/the colour predicted \(± .* is off by/);
  });
});

describe('hints', () => {
  const hints = (of: Book, id: string) =>
    predictedHints(of, subject(of, id)).map(({ line, text: shownText, tooltip }) => ({
      word: line.word,
      shownText,
      tooltip,
    }));

  it('tell at the standard how far the predicted colour is off, and the colour beside', () => {
    const [hint] = hints(book, 'F-1');
    expect(hint!.word).toBe('standard');
    expect(hint!.shownText).toMatch(/^~[\d.]+ ± [\d.]+ dE00 predicted$/);
    const [L, a, b] = shown('F-1').predicted[0]!.lab.map((value) => value.toFixed(0));
    expect(hint!.tooltip).toContain(`45/0: ~${L} ${a} ${b} ± `);
    expect(hint!.tooltip).toContain('not measured');
  });

  it('tell the predicted colour at the head of a formula without a standard, and none of a stranger', () => {
    const alone = bookWith(text.replace('  standard STD\n', ''));
    const [hint] = hints(alone, 'F-1');
    expect(hint).toMatchObject({
      word: 'formula',
      shownText: expect.stringMatching(/^~\d+ -?\d+ -?\d+ ± [\d.]+ at 45\/0, predicted$/),
    });
    expect(hints(alone, 'F-2')).toEqual([]);
  });
});

describe('what is expected of the predicted colour', () => {
  it('starts and stops to hold as the formula is edited', () => {
    const own = text.replace(
      '  expect predicted <= 20 dE00\n  expect predicted <= 0.01 dE00\n  expect coats <= 50\n',
      '  expect predicted <= 0.8 dE00\n',
    );
    const right = own.replace(
      `  standard STD\n${tonerLines(toners, first)}`,
      `  standard STD\n${tonerLines(toners, wanted)}`,
    );
    expect(right).not.toBe(own);
    const edited = bookWith(own);
    const told = () =>
      findingsOfFile(edited, uri).flatMap(({ code, problem }) =>
        code.startsWith('expectation') && problem.includes('predicted') ? [code] : [],
      );
    expect(told()).toEqual(['expectation-fails']);
    edited.setFile(uri, right);
    expect(told()).toEqual([]);
    edited.setFile(uri, right.replace(/(formula F-1[\s\S]*?)toner T0 /, '$1toner NEW '));
    expect(told()).toEqual(['expectation-open']);
    edited.setFile(uri, own);
    expect(told()).toEqual(['expectation-fails']);
  });
});

describe('a formula for a reading', () => {
  it('finds the recipe that the reading was made with', () => {
    const answer = formulate(book, subject(book, 'STD'), { most: 4 });
    expect(answer).toMatchObject({ reading: 'STD', system: 'SB', side: 'solid', state: 'ready', reachable: true });
    for (const one of answer.solutions) {
      expect(one.toners.reduce((sum, { parts }) => sum + parts, 0)).toBeCloseTo(100, 0);
      expect(one).toMatchObject({ dE00: expect.any(Number), plusMinus: expect.any(Number), cost: expect.any(Number) });
    }
    const same = answer.solutions.some(
      ({ toners: used, dE00 }) =>
        dE00 < 1 &&
        used
          .map(({ code }) => code)
          .sort()
          .join() === 'T0,T1,T2,T4',
    );
    expect(same).toBe(true);
  });

  it('keeps to what is demanded, forbidden and limited', () => {
    const { solutions } = formulate(book, subject(book, 'STD'), {
      must: ['T5'],
      mustNot: ['T4'],
      limits: new Map([['T0', 20]]),
    });
    expect(solutions.length).toBeGreaterThan(0);
    for (const { toners: used } of solutions) {
      const parts = new Map(used.map((one) => [one.code, one.parts]));
      expect(parts.has('T5')).toBe(true);
      expect(parts.has('T4')).toBe(false);
      expect(parts.get('T0') ?? 0).toBeLessThanOrEqual(20.01);
    }
  });

  it('puts what reaches the tolerance first, then what holds under other lights, then what costs less', () => {
    for (const reading of ['STD', 'F-card']) {
      const { solutions, tolerance } = formulate(book, subject(book, reading), {});
      const outside = solutions.map(({ dE00 }) => dE00 > tolerance);
      expect([...outside].sort()).toEqual(outside);
      const within = solutions.filter(({ dE00 }) => dE00 <= tolerance);
      const steps = within.map(({ metamerism }) => Math.round((metamerism ?? 0) / 0.1));
      expect([...steps].sort((a, b) => a - b)).toEqual(steps);
      within.forEach(({ cost, plusMinus }, n) => {
        const next = within[n + 1];
        if (!next || steps[n] !== steps[n + 1] || Math.round(plusMinus / 0.5) !== Math.round(next.plusMinus / 0.5))
          return;
        expect(cost).toBeLessThanOrEqual(next.cost!);
      });
    }
  });

  it('offers different answers that can be weighed, a fifth toner only where it is worth it', () => {
    const { solutions } = formulate(book, subject(book, 'STD'), {});
    const sets = solutions.map((one) =>
      one.toners
        .map(({ code }) => code)
        .sort()
        .join(),
    );
    expect(new Set(sets).size).toBe(sets.length);
    for (const { toners: used } of solutions) {
      expect(used.length).toBeLessThanOrEqual(5); // four and the binder
      for (const { parts } of used) expect(parts).toBeGreaterThanOrEqual(0.05);
    }
  });

  it('takes the binder as the cards have it, unless it is limited, forbidden or another is asked for', () => {
    const binder = toners.find(({ kind }) => kind === 'binder')!.code;
    const shareOf = (asked: Parameters<typeof formulate>[2]) => {
      const { solutions } = formulate(book, subject(book, 'STD'), asked);
      expect(solutions.length).toBeGreaterThan(0);
      return solutions.map(({ toners: used }) => used.find(({ code }) => code === binder)?.parts ?? 0);
    };
    const [usual] = shareOf({});
    expect(usual).toBeGreaterThan(20);
    for (const share of shareOf({ must: [binder] })) expect(share).toBeCloseTo(usual!, 1);
    for (const share of shareOf({ limits: new Map([[binder, 15]]) })) expect(share).toBeCloseTo(15, 1);
    for (const share of shareOf({ mustNot: [binder] })) expect(share).toBe(0);
  });

  it('leaves out what is not on the shelf any more, and says so', () => {
    const empty = bookWith(text.replace('toner T4 "Toner T4"\n', 'toner T4 "Toner T4"\n  lot L-1 stock 0 g\n'));
    const answer = formulate(empty, subject(empty, 'STD'), {});
    expect(answer.notes.join()).toContain('nothing is left of T4');
    for (const { toners: used } of answer.solutions) expect(used.map(({ code }) => code)).not.toContain('T4');
    expect(answer.reachable || answer.notes.join().includes('cannot be reached within 1 dE00')).toBe(true);
  });

  it('says how near it gets where the reading cannot be reached', () => {
    const answer = formulate(book, subject(book, 'STD'), { mustNot: ['T4', 'T0'] });
    expect(answer.reachable).toBe(false);
    const nearest = Math.min(...answer.solutions.map(({ dE00 }) => dE00));
    expect(answer.notes.join()).toContain(`the nearest is ${nearest.toFixed(1)} dE00 away`);
    expect(formulateText(answer)).toContain('more than the 1 that is allowed');
  });

  it('refuses what cannot be, in a sentence', () => {
    const ask = (asked: Parameters<typeof formulate>[2]) => () => formulate(book, subject(book, 'STD'), asked);
    expect(ask({ must: ['T4'], mustNot: ['T4'] })).toThrow('T4 is both demanded and forbidden.');
    expect(ask({ must: ['NEW'] })).toThrow('No card of this system holds NEW');
    expect(ask({ must: ['XXX'] })).toThrow("There is no toner 'XXX'");
    expect(ask({ system: 'XX' })).toThrow("There is no system 'XX'");
  });

  it('says that Lab alone does not determine it', () => {
    const lab = labUnder(light, reading(toners, wanted)).map((value) => value.toFixed(2));
    const other = bookWith(`${text}\nreading L "Lab only"\n  lab 45/0 ${lab.join(' ')}\n`);
    const answer = formulate(other, subject(other, 'L'), { most: 4 });
    expect(answer.unique).toBe(false);
    expect(answer.solutions.length).toBeGreaterThan(1);
    expect(answer.solutions[0]!.metamerism).toBeNull();
    expect(answer.undetermined.map((one) => one.light)).toEqual(['A/10', 'F11/10']);
    expect(answer.notes.join()).toContain('Lab under one light does not determine the formula');
  });
});

describe('putting right', () => {
  it('revises the formula so that the simulated paint comes nearer to its standard', () => {
    const answer = correctFormula(book, subject(book, 'F-1'), ['F-card']);
    expect(answer.take).toBe('revised');
    expect(answer.revised.after).toBeLessThan(answer.before / 4);
    const parts = answer.revised.toners.map(({ code, parts: share }) => ({
      toner: toners.findIndex((toner) => toner.code === code),
      share: share / 100,
    }));
    const standard = labUnder(light, reading(toners, wanted));
    const really = deltaE00(standard, labUnder(light, reading(toners, parts)));
    expect(really).toBeLessThan(answer.before / 4);
    expect(answer.revised.toners.reduce((sum, { delta }) => sum + delta, 0)).toBeCloseTo(0, 1);
  });

  it('stays with its own toners, and names the one besides that it lacks', () => {
    expect(correctFormula(book, subject(book, 'F-1'), ['F-card']).withToner).toBeNull();
    const lacking = first.filter(({ toner }) => toner !== 4);
    const poor = bookWith(
      [
        shop.text,
        `formula F-3 "Without T4"\n  system SB\n  standard STD\n${tonerLines(toners, lacking)}\n`,
        readingText('STD', reading(toners, wanted)),
        cardText(
          'F-3-card',
          toners,
          lacking,
          reading(toners, lacking),
          'sprayout F-3-card of F-3\n  sprayed 2026-10-01 by RO',
        ),
      ].join('\n'),
    );
    const answer = correctFormula(poor, subject(poor, 'F-3'), []);
    expect(answer.revised.toners.map(({ code }) => code)).not.toContain('T4');
    expect(answer.withToner!.toner).toBe('T4');
    expect(answer.withToner!.after).toBeLessThan(answer.revised.after / 3);
    expect(answer.withToner!.variant).toMatch(/\n {2}toner T4 \+\d/);
    expect(correctText(answer)).toMatch(/Its own toners bring it to [\d.]+ dE00 only\. With T4 besides, predicted/);
  });

  it('says that a card is carried over to the geometry of the standard where they were read unlike', () => {
    expect(correctFormula(book, subject(book, 'F-1'), []).carriedOver).toBeNull();
    const unlike = bookWith(text.replace(/(reading STD [\s\S]*?spectrum) 45\/0/, '$1 d/8'));
    const answer = correctFormula(unlike, subject(unlike, 'F-1'), []);
    expect(answer.carriedOver).toEqual({ from: '45/0', to: 'd/8' });
    expect(correctText(answer)).toMatch(/ off, measured at 45\/0 and carried over to the d\/8 of the standard/);
  });

  it('gives the step as a variant that the book reads without a mistake', () => {
    const { variant, revised } = correctFormula(book, subject(book, 'F-1'), ['F-card']);
    const withIt = bookWith(`${text}\n${variant}`);
    const answer = show(withIt, subject(withIt, 'F-1/corrected')) as FormulaAnswer;
    expect(answer.toners.map(({ code, parts }) => [code, Number(parts).toFixed(1)])).toEqual(
      revised.toners.map(({ code, parts }) => [code, parts.toFixed(1)]),
    );
    expect(findingsOfFile(withIt, uri).filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it('says to spray again when the card is as near as cards get', () => {
    const near = text.replace(
      /(reading STD [^\n]*\n)[^\n]*\n/,
      (_, head: string) => `${head}${readingText('S', reading(toners, first)).split('\n')[1]}\n`,
    );
    const right = bookWith(near);
    const answer = correctFormula(right, subject(right, 'F-1'), []);
    expect(answer.take).toBe('spray again');
    expect(answer.advice).toMatch(/^Spray again before you change the formula/);
  });

  it('refuses cards of an earlier formula and cards that are not there', () => {
    const earlier = bookWith(
      text.replace('formula F-1 "First try"\n  system SB', 'formula F-1 "First try"\n  system SB\n  toner T5 3'),
    );
    expect(() => correctFormula(earlier, subject(earlier, 'F-1'), ['F-card'])).toThrow('shows an earlier F-1');
    expect(() => correctFormula(book, subject(book, 'F-1'), ['C1'])).toThrow('C1 is no card of F-1');
    expect(() => correctFormula(book, subject(book, 'F-2'), [])).toThrow('F-2 cannot be corrected');
  });

  it('says when the card of the formula has Lab only', () => {
    const lab = bookWith(
      text.replace(/(sprayout F-card of F-1\n[\s\S]*?) {2}spectrum [^\n]*\n/, '$1  lab 45/0 50 10 10\n'),
    );
    expect(() => correctFormula(lab, subject(lab, 'F-1'), [])).toThrow(
      'Card F-card cannot be corrected from: it has Lab only',
    );
  });

  it('tells what to add to a cup, and the simulated cup comes within the tolerance', () => {
    const answer = correctBatch(book, subject(book, 'B-1'));
    expect(answer.reaches).toBe(true);
    expect(answer.predicted.after).toBeLessThanOrEqual(1.001);
    const grams = new Map(first.map(({ toner, share }) => [toners[toner]!.code, Number((200 * share).toFixed(1))]));
    for (const { toner, grams: more } of answer.additions) grams.set(toner, (grams.get(toner) ?? 0) + more);
    const cup = [...grams].map(([code, weight]) => ({
      toner: toners.findIndex((one) => one.code === code),
      share: weight / 200,
    }));
    const really = deltaE00(labUnder(light, reading(toners, wanted)), labUnder(light, reading(toners, cup)));
    expect(really).toBeLessThan(1.4);
    expect(answer.total).toBeLessThan(answer.inCup);
  });

  it('predicts the cup with what the scale can weigh, and rounds up where rounding down would miss', () => {
    for (const scale of ['0.01 g', '0.1 g', '2 g']) {
      const coarse = bookWith(text.replace('  language 1\n', `  language 1\n  scale ${scale}\n`));
      const answer = correctBatch(coarse, subject(coarse, 'B-1'));
      const step = Number.parseFloat(scale);
      for (const { grams } of answer.additions) expect((grams / step) % 1).toBeCloseTo(0, 6);
      expect(answer.reaches).toBe(answer.predicted.after <= answer.tolerance);
    }
    const fine = bookWith(text.replace('  language 1\n', '  language 1\n  scale 0.01 g\n'));
    expect(correctBatch(fine, subject(fine, 'B-1')).reaches).toBe(true);
  });
});

describe('a toner that one card holds', () => {
  const parts: Component[] = [
    { toner: 0, share: 0.5 },
    { toner: 4, share: 0.1 },
    { toner: 2, share: 0.4 },
  ];
  const renamed = (lines: string): string => lines.replace(/\bT4\b/, 'NEW');
  const known = bookWith(
    [
      text,
      `formula F-5 "With a new toner"\n  system SB\n  standard STD\n${renamed(tonerLines(toners, parts))}\n`,
      renamed(
        cardText(
          'NEW-card',
          toners,
          parts,
          reading(toners, parts),
          'sprayout NEW-card of F-5\n  sprayed 2026-10-01 by RO',
        ),
      ),
      `batch B-5 of F-1\n  poured T0 50 g\n  poured NEW 10 g\n`,
    ].join('\n'),
  );
  const warned = /^Note: the book knows too little of NEW to rely on/m;

  it('is warned of where a formula with it is found', () => {
    const answer = formulate(known, subject(known, 'STD'), { must: ['NEW'] });
    expect(answer.solutions.length).toBeGreaterThan(0);
    expect(formulateText(answer)).toMatch(warned);
    expect(formulateText(formulate(known, subject(known, 'STD'), { mustNot: ['NEW'] }))).not.toMatch(warned);
  });

  it('is warned of in a correction of formula and cup', () => {
    const answer = correctFormula(known, subject(known, 'F-5'), []);
    expect(answer.uncertain).toEqual(['NEW']);
    expect(correctText(answer)).toMatch(warned);
    expect(correctBatch(known, subject(known, 'B-5')).uncertain).toEqual(['NEW']);
    const own = correctFormula(book, subject(book, 'F-1'), []);
    expect(own.uncertain).toEqual([]);
    expect(correctText(own)).not.toContain('knows too little');
  });
});

describe('what was learned', () => {
  it('tells samples, residual, leave-one-out and ± of every toner, and advises two drawdowns', () => {
    const answer = fitAnswer(book, true);
    expect(answer.fits).toHaveLength(1);
    const [fit] = answer.fits;
    expect(fit).toMatchObject({ system: 'SB', side: 'solid', state: 'ready', cards: 71, films: false });
    for (const toner of fit!.toners) {
      expect(toner.cards).toBeGreaterThan(0);
      expect(toner.residual!).toBeLessThanOrEqual(toner.leftOut! + 0.2);
    }
    expect(answer.advice).toHaveLength(1);
    expect(answer.advice![0]!.drawdowns.every((one) => one.reduce((sum, { parts }) => sum + parts, 0) === 100)).toBe(
      true,
    );
  });

  it('advises a sealer’s black in the sealer’s white, not in that of the colours', () => {
    const sealer = ['W white', 'K black'].map(
      (one) => `toner SEAL-${one.replace(' ', ' "Sealer"\n  system SB\n  kind ')}\n`,
    );
    const grey = (id: string, white: number, value: string) =>
      `drawdown ${id} "${id}"\n  toner SEAL-W ${white}\n  toner SEAL-K ${100 - white}\n  spectrum 45/0 400..700/10 ${Array(31).fill(value).join(' ')}\n`;
    // no formula of the book tells what to narrow, so the toner that is known least is drawn down
    const alone = bookWith([shop.text, ...sealer, grey('G-1', 95, '0.50'), grey('G-2', 60, '0.15')].join('\n'));
    const [advice] = fitAnswer(alone, true).advice!;
    expect(advice).toMatchObject({ toner: 'SEAL-K' });
    expect(advice!.drawdowns[0]!.map(({ toner }) => toner)).toEqual(['SEAL-K', 'SEAL-W']);
  });
});
