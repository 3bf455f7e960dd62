import { describe, expect, it } from 'vitest';
import { fitToners } from '../../../server/paint/fit.ts';
import type { FitInput } from '../../../server/paint/fit-equations.ts';
import type { FitCard } from '../../../server/paint/fit-model.ts';
import { readFit, recordFit } from '../../../server/paint/fit-record.ts';
import { updatedFit } from '../../../server/paint/fit-update.ts';
import { filmReflectance } from '../../../server/paint/kubelka-munk.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import type { TonerKind } from '../../../server/paint/mixture.ts';
import { predict, predictedReadings, unlearned } from '../../../server/paint/predict.ts';
import { belowSurface, throughSurface } from '../../../server/paint/surface.ts';
import { leftOutDifferences, uncertaintyModel } from '../../../server/paint/uncertainty.ts';
import { acrylics, components, count, lights, surface } from '../../published/acrylics-data.ts';
import book from '../../published/data/simulated-book.json' with { type: 'json' };
import { Random, simulatedCards, simulatedFormula, simulatedToners } from './simulated-book.ts';

const main = lights[0]!;
const quantile = (values: Iterable<number>, p: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.round(p * (sorted.length - 1))]!;
};
const parts = (shares: object) => Object.entries(shares).map(([toner, share]) => ({ toner: Number(toner), share }));

describe('a simulated book of 25 toners and 120 noisy cards (numpy, see the data file)', () => {
  const cards = book.cards.parts.map(
    (shares, j): FitCard => ({
      components: parts(shares),
      surface,
      reflectance: Float64Array.from(book.cards.R[j]!),
    }),
  );
  const input: FitInput = {
    toners: book.kind.map((kind, i) => ({ code: `T${i}`, kind: kind as TonerKind })),
    cards,
    count,
  };
  const fit = fitToners(input);
  const model = uncertaintyModel(fit, cards, main);

  it('predicts formulas it never saw', () => {
    const errors = book.test.parts.map((shares, j) => {
      const { reflectance } = predictedReadings(fit, { components: parts(shares), surface });
      return deltaE00(labUnder(main, reflectance), labUnder(main, Float64Array.from(book.test.R[j]!)));
    });
    expect(quantile(errors, 0.5)).toBeLessThanOrEqual(0.19);
    expect(quantile(errors, 0.9)).toBeLessThanOrEqual(0.8);
  });

  it('has the residuals and left-out differences of the numpy fit', () => {
    const residual = fit.cards.map((card, c) =>
      deltaE00(labUnder(main, card.predicted), labUnder(main, cards[c]!.reflectance)),
    );
    expect(quantile(residual, 0.5)).toBeCloseTo(book.expected.fit_train_median, 2);
    expect(Math.abs(quantile(leftOutDifferences(fit, cards, main), 0.5) - book.expected.loo_median)).toBeLessThan(0.02);
  });

  it('is deterministic', () => {
    const again = fitToners(input);
    again.toners.forEach((toner, i) => {
      expect(toner.K).toEqual(fit.toners[i]!.K);
      expect(toner.S).toEqual(fit.toners[i]!.S);
    });
  });

  it('comes back from its record with the same predictions', () => {
    const text = JSON.stringify(recordFit(fit, model));
    const { fit: read, model: readModel } = readFit(JSON.parse(text));
    const sprayed = { components: parts(book.test.parts[3]!), surface };
    const before = predict(fit, sprayed, [main], model).colours[0]!;
    const after = predict(read, sprayed, [main], readModel).colours[0]!;
    expect(deltaE00(after.lab, before.lab)).toBeLessThan(1e-9);
    expect(after.plusMinus.dE00 / before.plusMinus.dE00).toBeCloseTo(1, 4);
    expect(text.length).toBeLessThan(350_000);
    expect(() => readFit({ ...JSON.parse(text), curvature: 'AAAA' })).toThrow('run the fit again');
  });

  it('moves by one card nearly as a full fit does', () => {
    const all = fitToners({ ...input, cards: cards.slice(0, 119) });
    const quick = updatedFit(all, cards[119]!);
    const apart = book.test.parts.map((shares) => {
      const sprayed = { components: parts(shares), surface };
      const one = labUnder(main, predictedReadings(quick, sprayed).reflectance);
      return deltaE00(one, labUnder(main, predictedReadings(fit, sprayed).reflectance));
    });
    expect(quantile(apart, 0.5)).toBeLessThan(0.01);
    expect(quantile(apart, 0.95)).toBeLessThan(0.1);
  });
});

describe('what a fit knows and does not know', () => {
  const random = new Random(5);
  const toners = simulatedToners(random, 12);
  const cards = simulatedCards(random, toners, 40);

  it('refuses to predict with a toner that no card holds, and says which', () => {
    const fit = fitToners({ toners: [...toners, { code: 'NEW-1', kind: 'opaque' }], cards, count });
    const sprayed = { components: [{ toner: 12, share: 1 }], surface };
    expect(fit.toners[12]!.uncertain).toBe('no card');
    expect(unlearned(fit, sprayed.components)).toEqual(['NEW-1']);
    expect(() => predict(fit, sprayed, lights, uncertaintyModel(fit, cards, main))).toThrow('NEW-1');
  });

  it('calls a toner of two cards uncertain', () => {
    const rare = cards.filter((card) => card.components.some(({ toner }) => toner === 5)).slice(2);
    const few = cards.filter((card) => !rare.includes(card));
    const fit = fitToners({ toners, cards: few, count });
    expect(fit.toners[5]!.samples).toBeLessThanOrEqual(2);
    expect(fit.toners[5]!.uncertain).toBeDefined();
    expect(fit.toners[5]!.spreadK[15]).toBeGreaterThan(fit.toners[1]!.spreadK[15]!);
  });

  it('takes stated K and S where no card speaks', () => {
    const { K, S } = toners[7]!;
    const stated = toners.map((toner, i) => (i === 7 ? { ...toner, stated: { K, S } } : toner));
    const without = cards.filter((card) => !card.components.some(({ toner }) => toner === 7));
    const fit = fitToners({ toners: stated, cards: without, count });
    K.forEach((value, w) => {
      expect(fit.toners[7]!.K[w]! / value).toBeCloseTo(1, 6);
    });
    expect(fit.toners[7]!.uncertain).toBeUndefined();
  });

  it('passes over wavelengths that an instrument does not reach', () => {
    const gap = cards.map((card, c) => {
      const reflectance = card.reflectance.slice();
      if (c % 2 === 0) reflectance.fill(Number.NaN, 0, 3);
      return { ...card, reflectance };
    });
    const fit = fitToners({ toners, cards: gap, count });
    expect(fit.toners.every((toner) => toner.K.every((k) => Number.isFinite(k) && k > 0))).toBe(true);
    expect(fit.toners[1]!.spreadK[0]!).toBeGreaterThan(fit.toners[1]!.spreadK[10]!);
  });

  it('needs no white, and no card at all', () => {
    const black = fitToners({ toners: toners.slice(1, 3), cards: [], count });
    expect(black.toners[black.gauge]!.code).toBe('T1');
    expect(() => fitToners({ toners: [], cards: [], count })).toThrow('at least one toner');
  });

  it('survives readings of 0 and above 1', () => {
    const wild: FitCard = { ...cards[0]!, reflectance: new Float64Array(count).fill(0) };
    const bright: FitCard = { ...cards[1]!, reflectance: new Float64Array(count).fill(1.3) };
    const fit = fitToners({ toners, cards: [...cards, wild, bright], count });
    expect(fit.toners.every((toner) => toner.S.every(Number.isFinite))).toBe(true);
  });
});

describe('how readings depart from two fluxes', () => {
  const random = new Random(7);
  const toners = simulatedToners(random, 12);
  const formulas = Array.from({ length: 70 }, () => simulatedFormula(random, toners));
  /** Light that turns back late, by the formula of surface.ts worked out again: g from K/S, then seen, then the surface. */
  const late = (formula: (typeof formulas)[number], w: number, e: number): number => {
    const [k, s] = (['K', 'S'] as const).map((of) =>
      formula.reduce((sum, { toner, share }) => sum + share * toners[toner]![of][w]!, 0),
    ) as [number, number];
    const g = Math.sqrt(k / (k + 2 * s));
    const seen = (1 - g * g) / (1 + e * g) ** 2;
    return (0.96 * 0.4 * seen) / (1 - 0.6 * seen);
  };
  const fitted = (e: number) => {
    const cards = formulas.map(
      (formula): FitCard => ({
        components: formula,
        surface,
        reflectance: Float64Array.from({ length: count }, (_, w) => {
          const exact = late(formula, w, e);
          return exact * (1 + 0.001 * random.normal()) + 0.0005 * random.normal();
        }),
      }),
    );
    return { fit: fitToners({ toners, cards, count }), cards };
  };

  it('is learned from the cards', () => {
    const { fit, cards } = fitted(0.6);
    expect(fit.reading.directional).toBeGreaterThan(0.55);
    expect(fit.reading.directional).toBeLessThan(0.65);
    expect(fit.noise.misfit).toBeLessThan(0.01);
    const off = leftOutDifferences(fit, cards, main).toSorted();
    expect(off[off.length >> 1]).toBeLessThan(0.5);
    const { fit: again } = readFit(JSON.parse(JSON.stringify(recordFit(fit, uncertaintyModel(fit, cards, main)))));
    const sprayed = { components: formulas[0]!, surface };
    const labs = [again, fit].map((each) => labUnder(main, predictedReadings(each, sprayed).reflectance));
    expect(deltaE00(labs[0]!, labs[1]!)).toBeLessThan(1e-6);
  });

  it('is none where the paint follows two fluxes, and where too few cards would tell', () => {
    expect(fitted(1).fit.reading.directional).toBeCloseTo(1, 1);
    const few = fitted(0.6).cards.slice(0, 9);
    expect(fitToners({ toners, cards: few, count }).reading.directional).toBe(1);
  });
});

describe('films of known thickness', () => {
  it('over black and white give the scattering per unit of thickness', () => {
    const paints = [
      { code: 'white', kind: 'white' as const },
      { code: 'blue', kind: 'opaque' as const },
    ];
    const optics = [
      acrylics[components({ TitaniumWhite: 1 })[0]!.toner]!,
      acrylics[components({ CobaltBlue: 1 })[0]!.toner]!,
    ];
    const perMicrometre = 0.3;
    const black = new Float64Array(count).fill(0.01);
    const white = new Float64Array(count).fill(0.85);
    const mixed = (share: number, thickness?: number, under?: Float64Array): FitCard => {
      const reflectance = Float64Array.from({ length: count }, (_, w) => {
        const k = (1 - share) * optics[0]!.K[w]! + share * optics[1]!.K[w]!;
        const s = (1 - share) * optics[0]!.S[w]! + share * optics[1]!.S[w]!;
        const x = thickness === undefined ? 1e5 : thickness * perMicrometre;
        const background = belowSurface(surface, under?.[w] ?? 0);
        return throughSurface(surface, filmReflectance(k, s, x, background));
      });
      const parts = [
        { toner: 0, share: 1 - share },
        { toner: 1, share },
      ];
      const film = under === undefined || thickness === undefined ? {} : { film: { thickness, under } };
      return { components: parts, surface, reflectance, ...film };
    };
    const cards = [mixed(0), mixed(1), mixed(0.5), mixed(0.1), mixed(0.3, 12, black), mixed(0.3, 12, white)];
    const fit = fitToners({ toners: paints, cards, count });
    fit.scale!.forEach((value) => {
      expect(Math.abs(value / perMicrometre - 1)).toBeLessThan(0.02);
    });
    // A thickness that no card had.
    const sprayed = { components: mixed(0.2).components, surface, film: { thickness: 20, under: white } };
    const wanted = labUnder(main, mixed(0.2, 20, white).reflectance);
    expect(deltaE00(labUnder(main, predictedReadings(fit, sprayed).reflectance), wanted)).toBeLessThan(0.1);
  });
});

it('simulated formulas sum to one', () => {
  const random = new Random(1);
  const toners = simulatedToners(random, 10);
  const total = simulatedFormula(random, toners).reduce((sum, { share }) => sum + share, 0);
  expect(total).toBeCloseTo(1, 12);
});
