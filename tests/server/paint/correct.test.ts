import { describe, expect, it } from 'vitest';
import {
  addToCup,
  correctFormula,
  customaryPart,
  partOfTheWay,
  predictedGap,
  revise,
  tonersAfterCard,
} from '../../../server/paint/correct.ts';
import { fitToners } from '../../../server/paint/fit.ts';
import type { FitCard } from '../../../server/paint/fit-model.ts';
import { mixtureReading } from '../../../server/paint/formulate-target.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import type { Component, TonerOptics } from '../../../server/paint/mixture.ts';
import { tintEffects } from '../../../server/paint/tint.ts';
import { uncertaintyModel } from '../../../server/paint/uncertainty.ts';
import { count, lights, surface } from '../../published/acrylics-data.ts';
import { Random, reading, simulatedCards, simulatedFormula, simulatedToners } from './simulated-book.ts';

const main = lights[0]!;
const random = new Random(77);
const book = simulatedToners(random, 12);
const cards = simulatedCards(random, book, 90);
const fit = fitToners({ toners: book, cards, count });
const model = uncertaintyModel(fit, cards, main);

/** The shop's toners today: each a few per cent stronger or weaker than when the book's cards were sprayed. */
const today: TonerOptics[] = book.map((toner) => {
  const strength = Math.exp(0.03 * random.normal());
  return { ...toner, K: toner.K.map((k) => k * strength), S: toner.S.map((s) => s * strength) };
});

interface Case {
  readonly standard: Float64Array;
  readonly card: FitCard;
  readonly before: number;
  readonly after: number;
}

const gapOf = (mixture: readonly Component[], standard: Float64Array): number => {
  const exact = reading(today, mixture);
  const squares = lights.map((light) => deltaE00(labUnder(light, exact), labUnder(light, standard)) ** 2);
  return Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / squares.length);
};

/** A formula whose parts are off by a sixth or so, corrected from one noisy card. */
function corrected(): Case {
  const right = simulatedFormula(random, book);
  const standard = reading(today, right);
  const wrong = right.map(({ toner, share }) => ({ toner, share: share * Math.exp(0.15 * random.normal()) }));
  const total = wrong.reduce((sum, { share }) => sum + share, 0);
  const components = wrong.map(({ toner, share }) => ({ toner, share: share / total }));
  const card: FitCard = { components, surface, reflectance: reading(today, components, random) };
  const aim = { lights, surface, standard };
  const { components: revised } = revise(tonersAfterCard(fit, [card], cards.length), components, aim);
  return { standard, card, before: gapOf(components, standard), after: gapOf(revised, standard) };
}

const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;

describe('a correction', () => {
  it('from one card takes most of the miss away, true colours compared', () => {
    const cases = Array.from({ length: 40 }, corrected);
    const before = median(cases.map((each) => each.before));
    const after = median(cases.map((each) => each.after));
    console.info(
      `correction from one noisy card: median rms dE00 ${before.toFixed(2)} before, ${after.toFixed(2)} after`,
    );
    expect(after).toBeLessThan(before / 2);
  });

  it('gives what the card showed for the card itself', () => {
    const { card } = corrected();
    const toners = tonersAfterCard(fit, [card], 50);
    const predicted = mixtureReading(toners, card.components, surface);
    expect(deltaE00(labUnder(main, predicted), labUnder(main, card.reflectance))).toBeLessThan(0.05);
  });

  it('keeps the sum of the parts, and the customary step lies between', () => {
    const { card, standard } = corrected();
    const aim = { lights, surface, standard };
    const advice = correctFormula(fit, model, [card], aim, cards.length);
    const total = (mixture: readonly Component[]): number => mixture.reduce((sum, { share }) => sum + share, 0);
    expect(total(advice.revised.components)).toBeCloseTo(1, 9);
    expect(total(advice.part.components)).toBeCloseTo(1, 9);
    expect(advice.revised.after).toBeLessThan(advice.before);
    expect(advice.part.after).toBeLessThan(predictedGap(advice.toners, card.components, aim));
    expect(partOfTheWay(card.components, card.components, customaryPart)).toEqual(
      card.components.map(({ toner, share }) => ({ toner, share: expect.closeTo(share, 12) })),
    );
  });

  it('asks for another card when the miss is within what cards differ by anyway', () => {
    const right = simulatedFormula(random, book);
    const standard = reading(today, right);
    const good: FitCard = { components: right, surface, reflectance: standard.map((value) => value * 1.001) };
    const aim = { lights, surface, standard };
    expect(correctFormula(fit, model, [good], aim, cards.length).take).toBe('spray again');
    const one: FitCard = { ...good, reflectance: standard.map((value) => value * 1.2) };
    const other: FitCard = { ...good, reflectance: standard.map((value) => value * 0.84) };
    expect(correctFormula(fit, model, [one, other], aim, cards.length).take).toBe('spray again');
    expect(correctFormula(fit, model, [one], aim, cards.length).take).toBe('revised');
    expect(() => correctFormula(fit, model, [], aim, cards.length)).toThrow('needs a card');
  });
});

describe('additions to a cup', () => {
  const formula = simulatedFormula(random, book);
  const aim = { lights, surface, standard: reading(book, formula) };
  const full = formula.map(({ toner, share }) => ({ toner, weight: 100 * share }));

  it('are none when the cup is right', () => {
    expect(addToCup(book, full, aim, 0.3)).toMatchObject({ additions: [], total: 0, reaches: true });
  });

  it('bring back a cup in which one toner was over-poured', () => {
    const over = full.map((each, i) => (i === 0 ? { ...each, weight: each.weight * 1.3 } : each));
    const advice = addToCup(book, over, aim, 0.3);
    expect(advice.reaches).toBe(true);
    expect(advice.after).toBeLessThanOrEqual(0.3);
    // All the way back would need every other toner 30 % up.
    expect(advice.total).toBeLessThan(0.3 * (100 - full[0]!.weight));
    expect(advice.additions.every(({ weight }) => weight > 0)).toBe(true);
  });

  it('say when they cannot', () => {
    const black = [{ toner: 1, weight: 100 }];
    const advice = addToCup(book, black, { ...aim, standard: reading(book, [{ toner: 0, share: 1 }]) }, 0.3);
    expect(advice.reaches).toBe(false);
    expect(Number.isFinite(advice.after)).toBe(true);
  });
});

describe('one per cent more', () => {
  it('of black darkens, of white lightens a mid grey, with a ± below that of the colour', () => {
    const components = [
      { toner: 0, share: 0.9 },
      { toner: 1, share: 0.1 },
    ];
    const [white, black] = tintEffects(fit, model, { components, surface }, main);
    expect(black!.after[0]).toBeLessThan(black!.before[0]);
    expect(white!.after[0]).toBeGreaterThan(white!.before[0]);
    expect(black!.words).toContain('darker');
    expect(black!.dE00).toBeGreaterThan(0.3);
    expect(black!.plusMinus).toBeLessThan(black!.dE00);
  });
});
