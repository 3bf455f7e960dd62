import { describe, expect, it } from 'vitest';
import { Book } from '../../../../server/book/book.ts';
import { learn } from '../../../../server/book/optics/learn.ts';
import { lockText, readLock } from '../../../../server/book/optics/lock.ts';
import { learnBook, opticsOf, putFits, solidOptics, unlearnedSamples } from '../../../../server/book/optics/optics.ts';
import { cardsLeftOut, samplesOf, systemsLearned } from '../../../../server/book/optics/samples.ts';
import type { Component } from '../../../../server/paint/mixture.ts';
import { Random, reading, simulatedFormula } from '../../paint/simulated-book.ts';
import { cardText, simulatedShop } from './simulated-shop.ts';

const shop = simulatedShop(11, 7, 30);
const uri = 'file:///shop/shop.pour';

function bookWith(text: string): Book {
  const book = new Book();
  book.setFile(uri, text);
  book.loaded.set(true);
  return book;
}

describe('samples of a book', () => {
  it('takes every card with parts and spectra, by the code of its toners', () => {
    const samples = samplesOf(bookWith(shop.text), 'SB', 'solid');
    expect(samples.samples).toHaveLength(30);
    expect(samples.light).toBe('D65/10');
    for (const { shares } of samples.samples) expect(shares.reduce((sum, [, share]) => sum + share, 0)).toBeCloseTo(1);
  });

  it('has another key when a card, a kind or the Saunderson constants change, and the same key otherwise', () => {
    const key = (text: string) => samplesOf(bookWith(text), 'SB', 'solid').key;
    const before = key(shop.text);
    expect(key(`${shop.text}\nformula F-1 "No card"\n  toner T0 100\n`)).toBe(before);
    expect(key(shop.text.replace('2026-09-01', '2026-09-02'))).toBe(before);
    expect(key(shop.text.replace(/(drawdown C1 [\s\S]*?spectrum 45\/0 400\.\.700\/10 )0\.\d+/, '$10.9'))).not.toBe(
      before,
    );
    expect(key(shop.text.replace('kind transparent', 'kind opaque').replace('kind opaque', 'kind white'))).not.toBe(
      before,
    );
    expect(key(shop.text.replace('language 1', 'language 1\n  saunderson k1 0.04 k2 0.55 specular excluded'))).not.toBe(
      before,
    );
    expect(
      key(
        `${shop.text}\n${shop.text.slice(shop.text.indexOf('drawdown C1 ')).split('\n\n')[0]!.replace('C1', 'D1')}\n`,
      ),
    ).not.toBe(before);
  });

  it('counts a toner with the strength of its lot where the card or its batch names the lot, and only there', () => {
    const share = (lines: string) => {
      const text = shop.text.replace(/^(toner T1 .*)$/m, '$1\n  lot L-1 strength 80 %');
      const samples = samplesOf(bookWith(`${text}\n${lines}`), 'SB', 'solid').samples;
      return new Map(samples.find(({ card }) => card === 'W-1')!.shares);
    };
    const spectrum = `  spectrum 45/0 400..700/10 ${Array(31).fill('0.2').join(' ')}\n`;
    const card = (line: string) => share(`drawdown W-1 "One"\n  toner T0 90\n  ${line}\n${spectrum}`);
    expect(card('toner T1 10').get('T1')).toBeCloseTo(0.1, 12);
    expect(card('toner T1 10 lot L-1').get('T1')).toBeCloseTo(0.08, 12);
    expect(card('toner T1 10 lot L-1').get('T0')).toBeCloseTo(0.9, 12);
    expect(card('toner T1 10 lot L-9').get('T1')).toBeCloseTo(0.1, 12);
    const cup = share(
      `formula F-1 "Grey"\n  system SB\n  toner T0 90\n  toner T1 10\n\nbatch 2026-10-01-A of F-1\n  make 100 g\n  lot T1 L-1\n  poured T0 90 g\n  poured T1 10 g\n\nsprayout W-1 of F-1\n  from batch 2026-10-01-A\n${spectrum}`,
    );
    expect(cup.get('T1')).toBeCloseTo(0.08, 12);
  });

  it('says which cards say nothing, and why', () => {
    const text = `${shop.text}
drawdown L-1 "Lab only"
  toner T0 100
  lab 45/0 50 0 0

sprayout N-1 of F-9
  spectrum 45/0 400..700/100 0.1 0.2 0.3 0.4
`;
    const found = cardsLeftOut(bookWith(text));
    expect(found.map(({ card }) => card)).toEqual(['L-1', 'N-1']);
    expect(found[0]!.why).toContain('Lab only');
    expect(found[1]!.why).toContain('does not keep its parts');
  });

  it('takes let-downs apart', () => {
    const text = `${shop.text}
letdown T1-10 of T1
  toner T1 10
  toner T2 90

drawdown LD-1 "With a let-down"
  toner T0 50
  toner T1-10 50
  spectrum 45/0 400..700/10 ${new Array(31).fill('0.3').join(' ')}
`;
    const sample = samplesOf(bookWith(text), 'SB', 'solid').samples.find(({ card }) => card === 'LD-1');
    expect(new Map(sample!.shares)).toEqual(
      new Map([
        ['T0', 0.5],
        ['T1', 0.05],
        ['T2', 0.45],
      ]),
    );
  });
});

describe('fits of a book', () => {
  it('is recomputing until it is learned, ready then, and uses the last fit while a card is edited', () => {
    const book = bookWith(shop.text);
    expect(systemsLearned(book)).toEqual(['SB']);
    expect(opticsOf(book, 'SB', 'solid')).toEqual({ state: 'recomputing', learned: undefined });
    expect(opticsOf(book, 'SB', 'effect').state).toBe('none');
    const [made] = learnBook(book);
    expect(opticsOf(book, 'SB', 'solid')).toEqual({ state: 'ready', learned: made });
    expect(unlearnedSamples(book)).toEqual([]);
    book.setFile(uri, shop.text.replace(/(drawdown C1 [\s\S]*?spectrum 45\/0 400\.\.700\/10 )0\.\d+/, '$10.9'));
    expect(opticsOf(book, 'SB', 'solid')).toEqual({ state: 'recomputing', learned: made });
    book.setFile(uri, shop.text);
    expect(opticsOf(book, 'SB', 'solid').state).toBe('ready');
  });

  it('predicts cards that it has not seen better than the card noise and the toners alone would', () => {
    const learned = learn(samplesOf(bookWith(simulatedShop(11, 7, 60).text), 'SB', 'solid'));
    expect(learned.leftOut!.median).toBeLessThan(1);
    expect(learned.toners.map(({ code }) => code)).toEqual(['T0', 'T1', 'T2', 'T3', 'T4', 'T5', 'T6']);
  });

  it('calls a toner uncertain whose tint the cards do not tell, however many hold it', () => {
    const random = new Random(4);
    const { toners, text } = simulatedShop(11, 7, 0);
    const drawn = (id: string, formula: Component[]) => cardText(id, toners, formula, reading(toners, formula, random));
    const bright = Array.from({ length: 24 }, () =>
      simulatedFormula(random, toners).filter(({ toner }) => toner !== 1),
    ).map((formula, n) => drawn(`C${n + 1}`, formula));
    const black = (toner: number, share: number) => [
      { toner: 1, share },
      { toner, share: 0.1 },
      { toner: 2, share: 0.9 - share },
    ];
    const dark = [3, 4, 5, 6].map((toner, n) => drawn(`D${n + 1}`, black(toner, 0.5 + 0.1 * n)));
    const tint = drawn('E1', [
      { toner: 1, share: 0.05 },
      { toner: 0, share: 0.95 },
    ]);
    const about = (cards: readonly string[]) => {
      const learned = learn(samplesOf(bookWith([text, ...cards].join('\n')), 'SB', 'solid'));
      return learned.toners.find(({ code }) => code === 'T1')!;
    };
    expect(about([...bright, ...dark])).toMatchObject({ cards: 4, uncertain: 'tint unknown' });
    expect(about([...bright, ...dark]).plusMinus).toBeGreaterThan(5);
    expect(about([...bright, ...dark, tint])).toMatchObject({ cards: 5, uncertain: null });
  });

  it('comes back from optics.lock as it was, and predicts the same', () => {
    const book = bookWith(shop.text);
    const made = learnBook(book);
    const text = lockText(made);
    expect(readLock(text)).toEqual(JSON.parse(JSON.stringify(made)));
    expect(lockText(readLock(text))).toBe(text);
    const again = bookWith(shop.text);
    putFits(again, readLock(text));
    const { state, learned } = opticsOf(again, 'SB', 'solid');
    expect(state).toBe('ready');
    expect(solidOptics(learned)!.fit.toners[3]!.K).toEqual(solidOptics(made[0])!.fit.toners[3]!.K);
  });

  it('lives with readings that no paint has', () => {
    const card = (id: string, value: string) =>
      `drawdown ${id} "${id}"\n  toner T0 100\n  spectrum 45/0 400..700/10 ${new Array(31).fill(value).join(' ')}\n`;
    const book = bookWith(`${shop.text}\n${card('Z', '0')}\n${card('H', '50')}\n`);
    const told: string[] = [];
    learnBook(book, (_samples, reason) => told.push(reason));
    const { learned } = opticsOf(book, 'SB', 'solid');
    expect(learned !== undefined || told.length > 0).toBe(true);
    expect(JSON.stringify(learned ?? {})).not.toMatch(/NaN|Infinity/);
    for (const toner of learned?.toners ?? []) expect(toner.cards).toBeGreaterThan(0);
  });

  it('takes a spoiled or foreign lock as none', () => {
    expect(readLock('<<<<<<< ours')).toEqual([]);
    expect(readLock('{"model":999,"fits":[]}')).toEqual([]);
    expect(readLock('null')).toEqual([]);
    const book = bookWith(shop.text);
    const [made] = learnBook(book);
    const broken = { ...made!, fit: { solid: { ...(made!.fit as { solid: object }).solid, curvature: 'AAAA' } } };
    expect(solidOptics(broken as typeof made)).toBeUndefined();
  });
});
