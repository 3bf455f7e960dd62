import { describe, expect, it } from 'vitest';
import {
  addToCup,
  correctFormula,
  customaryPart,
  paintAfterCard,
  partOfTheWay,
  predictedGap,
  revise,
} from '../../../server/paint/correct.ts';
import { fitToners } from '../../../server/paint/fit.ts';
import type { FitCard } from '../../../server/paint/fit-model.ts';
import { mixtureReading } from '../../../server/paint/formulate-target.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import type { Component, TonerOptics } from '../../../server/paint/mixture.ts';
import { colourShift } from '../../../server/paint/shift.ts';
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
  const { components: revised } = revise(paintAfterCard(fit, [card], cards.length).toners, components, aim);
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
    const toners = paintAfterCard(fit, [card], 50).toners;
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

describe('a film that does not hide', () => {
  /** Scattering of the white per um, and a film that a dark or bright undercoat shows through. */
  const scattering = 0.4;
  const um = 9;
  const below = 0.35;

  /** Over a background, both Lambertian, by the hyperbolic solution (Kubelka 1948), through the surface (Saunderson 1942). */
  function filmRead(toners: readonly TonerOptics[], mixture: readonly Component[], thickness: number, under: number) {
    const { k1, k2 } = surface;
    const inside = under / ((1 - k1) * (1 - k2) + k2 * under);
    return Float64Array.from({ length: count }, (_, w) => {
      const sum = (of: 'K' | 'S') => mixture.reduce((all, { toner, share }) => all + share * toners[toner]![of][w]!, 0);
      const [k, s] = [sum('K') * scattering, sum('S') * scattering];
      const a = 1 + k / s;
      const b = Math.sqrt(a * a - 1);
      const coth = 1 / Math.tanh(b * s * thickness);
      const internal = (1 - inside * (a - b * coth)) / (a - inside + b * coth);
      return ((1 - k1) * (1 - k2) * internal) / (1 - k2 * internal);
    });
  }

  const film = (mixture: readonly Component[], thickness: number, under: number): FitCard => ({
    components: mixture,
    surface,
    reflectance: filmRead(book, mixture, thickness, under),
    film: { thickness, under: new Float64Array(count).fill(under) },
  });
  const white: Component[] = [{ toner: 0, share: 1 }];
  const withFilms = [...cards, film(white, 5, 0.01), film(white, 5, 0.8), film(white, 10, 0.01)];
  const filmFit = fitToners({ toners: book, cards: withFilms, count });
  const filmModel = uncertaintyModel(filmFit, withFilms, main);

  const trueGap = (mixture: readonly Component[], standard: Float64Array): number => {
    const exact = filmRead(today, mixture, um, below);
    return (
      Math.hypot(...lights.map((light) => deltaE00(labUnder(light, exact), labUnder(light, standard)))) /
      Math.sqrt(lights.length)
    );
  };

  it('is put right as the film that it is, better than as one that hides', () => {
    const cases = Array.from({ length: 30 }, () => {
      const right = simulatedFormula(random, book);
      const standard = filmRead(today, right, um, below);
      const off = right.map(({ toner, share }) => ({
        toner,
        share: book[toner]!.kind === 'binder' ? share : share * Math.exp(0.2 * random.normal()),
      }));
      const sum = off.reduce((all, { share }) => all + share, 0);
      const components = off.map(({ toner, share }) => ({ toner, share: share / sum }));
      const under = new Float64Array(count).fill(below);
      const card: FitCard = {
        components,
        surface,
        reflectance: filmRead(today, components, um, below),
        film: { thickness: um, under },
      };
      const { film: _, ...hiding } = card;
      const aim = { lights, surface, standard };
      const [asFilm, asHiding] = [card, hiding].map(
        (one) => correctFormula(filmFit, filmModel, [one], aim, 93).revised.components,
      );
      return {
        before: trueGap(components, standard),
        film: trueGap(asFilm!, standard),
        hiding: trueGap(asHiding!, standard),
      };
    });
    const of = (which: 'before' | 'film' | 'hiding') => median(cases.map((one) => one[which]));
    const nearer = cases.filter((one) => one.film < one.hiding).length;
    console.info(
      `film of ${um} um: median rms dE00 ${of('before').toFixed(2)} before, ${of('film').toFixed(2)} as a film, ${of('hiding').toFixed(2)} as one that hides; the film nearer in ${nearer} of ${cases.length}`,
    );
    expect(of('film')).toBeLessThan(of('before') / 2);
    expect(of('film')).toBeLessThan(of('hiding'));
  });

  it('keeps the share of the binder, and the sum', () => {
    const mixture: Component[] = [
      { toner: 0, share: 0.3 },
      { toner: 4, share: 0.2 },
      { toner: 2, share: 0.5 },
    ];
    const target = filmRead(
      book,
      [
        { toner: 0, share: 0.25 },
        { toner: 4, share: 0.25 },
        { toner: 2, share: 0.5 },
      ],
      um,
      below,
    );
    const card = film(mixture, um, below);
    const { revised, before } = correctFormula(filmFit, filmModel, [card], { lights, surface, standard: target }, 93);
    expect(revised.components[2]!.share).toBe(0.5);
    expect(revised.components.reduce((all, { share }) => all + share, 0)).toBeCloseTo(1, 9);
    expect(revised.components[1]!.share).toBeCloseTo(0.25, 2);
    expect(revised.after).toBeLessThan(before / 5);
  });

  it('gives what the card showed for the card itself', () => {
    const mixture: Component[] = [
      { toner: 0, share: 0.3 },
      { toner: 5, share: 0.7 },
    ];
    const card = { ...film(mixture, um, below), reflectance: filmRead(today, mixture, um, below) };
    const shown = paintAfterCard(filmFit, [card], 50);
    const predicted = mixtureReading(shown.toners, mixture, surface, shown.film);
    expect(deltaE00(labUnder(main, predicted), labUnder(main, card.reflectance))).toBeLessThan(0.05);
  });

  it('of a cup: an addition weighs in as one, the binder it thins with it', () => {
    const cup = [
      { toner: 0, weight: 30 },
      { toner: 4, weight: 12 },
      { toner: 2, weight: 50 },
    ];
    const whole = [
      { toner: 0, share: 0.3 },
      { toner: 4, share: 0.2 },
      { toner: 2, share: 0.5 },
    ];
    const shown = paintAfterCard(filmFit, [film(whole, um, below)], 93);
    const aim = { lights, surface, standard: filmRead(book, whole, um, below), film: shown.film! };
    const { additions, after, reaches } = addToCup(shown.toners, cup, aim, 0.3);
    expect(reaches).toBe(true);
    expect(after).toBeLessThanOrEqual(0.3);
    expect(additions.map(({ toner }) => toner)).toContain(4);
    expect(additions.reduce((all, { weight }) => all + weight, 0)).toBeLessThan(9);
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
    const grey = (white: number, black: number) => ({
      components: [
        { toner: 0, share: white / (white + black) },
        { toner: 1, share: black / (white + black) },
      ],
      surface,
    });
    const [white, black] = [grey(0.91, 0.1), grey(0.9, 0.11)].map((after) =>
      colourShift(fit, model, grey(0.9, 0.1), after, main),
    );
    expect(black!.after[0]).toBeLessThan(black!.before[0]);
    expect(white!.after[0]).toBeGreaterThan(white!.before[0]);
    expect(black!.dE00).toBeGreaterThan(0.3);
    expect(black!.plusMinus).toBeLessThan(black!.dE00);
  });
});
