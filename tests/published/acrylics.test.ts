/**
 * Round trips through 19 measured acrylics (R. S. Berns 2016, see the data file), and cases of fitting, formulating and
 * correcting computed with numpy apart from this project.
 */
import { describe, expect, it } from 'vitest';
import { addToCup, predictedGap, revise, shiftedToCard } from '../../server/paint/correct.ts';
import { fitToners } from '../../server/paint/fit.ts';
import type { FitCard } from '../../server/paint/fit-model.ts';
import { linearEstimate } from '../../server/paint/fit-start.ts';
import { searchFormulas } from '../../server/paint/formulate.ts';
import { mixtureReading } from '../../server/paint/formulate-target.ts';
import { acrylics, components, count, indexOf, lights, named, rounded, surface } from './acrylics-data.ts';
import cases from './data/two-flux-cases.json' with { type: 'json' };

const paints = acrylics.filter((toner) => toner.code !== 'clear');

describe('a let-down ladder of each acrylic, rounded to four decimals', () => {
  const white = indexOf('TitaniumWhite');
  const black = indexOf('BoneBlack');
  const card = (...parts: [number, number][]): FitCard => {
    const mixed = parts.map(([toner, share]) => ({ toner, share }));
    return { components: mixed, surface, reflectance: rounded(mixtureReading(paints, mixed, surface), 4) };
  };
  const cards = [card([white, 1])];
  paints.forEach((_, i) => {
    if (i === white) return;
    cards.push(card([i, 1]));
    for (const tint of [0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005]) cards.push(card([i, tint], [white, 1 - tint]));
    if (i !== black) for (const shade of [0.1, 0.03, 0.01]) cards.push(card([i, 1 - shade], [black, shade]));
  });

  it('gives every K and S back within 1 %', () => {
    const exact = {
      relative: 0,
      absolute: 3e-5,
      offset: 0,
      spray: 0,
      misfit: 0,
      weighing: 0,
      pour: 0.05,
      thickness: 0,
    };
    const fit = fitToners({ toners: paints.map(({ code, kind }) => ({ code, kind })), cards, count, noise: exact });
    fit.toners.forEach((toner, i) => {
      for (let w = 0; w < count; w++) {
        expect(Math.abs(toner.K[w]! / paints[i]!.K[w]! - 1), `K of ${toner.code}`).toBeLessThan(0.01);
        expect(Math.abs(toner.S[w]! / paints[i]!.S[w]! - 1), `S of ${toner.code}`).toBeLessThan(0.01);
      }
    });
  });
});

describe('eight cards at one wavelength (C1)', () => {
  const { C, R, K, S, sd, leverage, loo_closed, loo_refit, lin_K, lin_S, prior_K, prior_S } = cases.C1;
  const cards = C.map(
    (parts, j): FitCard => ({
      components: parts.map((part, toner) => ({ toner, share: part / 100 })),
      reflectance: Float64Array.of(R[j]!),
      surface,
      sigma: Float64Array.of(0.0005 + 0.002 * R[j]!),
    }),
  );
  const prior = (i: number, scattering: number) => ({ K: prior_K[i]!, S: scattering, spreadK: 3, spreadS: 1.5 });
  const fit = fitToners({
    toners: [
      { code: 'white', kind: 'white', prior: prior(0, 1) },
      { code: 'black', kind: 'black', prior: prior(1, prior_S[0]!) },
      { code: 'red', kind: 'opaque', prior: prior(2, prior_S[1]!) },
    ],
    cards,
    count: 1,
  });

  it('has the same optimum', () => {
    fit.toners.forEach((toner, i) => {
      expect(toner.K[0]! / K[i]!).toBeCloseTo(1, 4);
      expect(Math.abs(toner.S[0]! / S[i]! - 1)).toBeLessThan(i === 1 ? 0.01 : 1e-4);
    });
  });

  it('has the same spreads, leverages and cards left out', () => {
    const spreads = [...fit.toners.map((t) => t.spreadK[0]!), fit.toners[1]!.spreadS[0]!, fit.toners[2]!.spreadS[0]!];
    for (const [i, value] of spreads.entries()) expect(value / sd[i]!).toBeCloseTo(1, 3);
    fit.cards.forEach((one, j) => {
      expect(one.leverage[0]).toBeCloseTo(leverage[j]!, 4);
      // Truly fitted again where the card's own reading carries more than half of its prediction.
      const wanted = leverage[j]! > 0.5 ? loo_refit[j]! : loo_closed[j]!;
      expect(Math.abs(one.leftOut[0]! - wanted)).toBeLessThan(5e-6);
    });
  });

  it('starts from the same linear estimate', () => {
    const linear = linearEstimate(cards, 3, 0, 0, 6, (card) => card.sigma![0]!);
    for (const [i, value] of lin_K.entries()) expect(linear.K[i]! / value).toBeCloseTo(1, 5);
    for (const [i, value] of lin_S.entries()) expect(linear.S[i]! / value).toBeCloseTo(1, 5);
  });
});

describe('formulating with all 19 acrylics', () => {
  it('finds the recipe and its runners-up (D1)', () => {
    const reflectance = Float64Array.from(cases.D1.R);
    const request = { reading: { reflectance }, toners: paints, surface, lights, tolerance: 0.5, most: 4 };
    const found = searchFormulas(request);
    cases.D1.best.forEach((entry, i) => {
      const [rms, parts] = entry as [number, Record<string, number>];
      const shares = named(found[i]!.components);
      expect(Object.keys(shares).sort()).toEqual(Object.keys(parts).sort());
      for (const [paint, share] of Object.entries(parts)) expect(Math.abs(shares[paint]! - share)).toBeLessThan(3e-4);
      expect(Math.abs(found[i]!.rms - rms)).toBeLessThan(1e-3);
    });
  });

  it('gives recipes of up to four back within 0.003 parts', () => {
    // Seeded recipes over all paints; readings rounded to four decimals as an instrument gives them.
    let seed = 7;
    const random = (): number => {
      seed = (1664525 * seed + 1013904223) >>> 0;
      return seed / 2 ** 32;
    };
    for (let trial = 0; trial < 12; trial++) {
      const chosen = new Set([indexOf('TitaniumWhite')]);
      while (chosen.size < 2 + (trial % 3)) chosen.add(Math.floor(random() * paints.length));
      const weights = [...chosen].map(() => 0.1 + random());
      const total = weights.reduce((sum, weight) => sum + weight, 0);
      const recipe = [...chosen].map((toner, i) => ({ toner, share: weights[i]! / total }));
      const reflectance = rounded(mixtureReading(paints, recipe, surface), 4);
      const found = searchFormulas({
        reading: { reflectance },
        toners: paints,
        surface,
        lights,
        tolerance: 0.5,
        most: 4,
      });
      const nearest = named(found[0]!.components);
      for (const { toner, share } of recipe) {
        expect(Math.abs((nearest[paints[toner]!.code] ?? 0) - share), `trial ${trial}`).toBeLessThan(0.003);
      }
    }
  });
});

describe('putting right (E1)', () => {
  const { names, c0, target_R, card_R, before, revised, uncalibrated, tol, additions, additions_total } = cases.E1;
  const formula = components(Object.fromEntries(names.map((name, i) => [name, c0[i]!])));
  const card: FitCard = { components: formula, surface, reflectance: Float64Array.from(card_R) };
  const aim = { lights, surface, standard: Float64Array.from(target_R) };
  const toners = shiftedToCard(acrylics, card, 1);

  it('sees how far the card is off', () => {
    expect(Math.abs(predictedGap(toners, formula, aim) - before)).toBeLessThan(2e-3);
  });

  it('revises the formula', () => {
    const shares = named(revise(toners, formula, aim, 0).components);
    for (const [name, share] of Object.entries(revised)) expect(Math.abs(shares[name]! - share)).toBeLessThan(0.002);
    const blind = named(revise(acrylics, formula, aim, 0).components);
    for (const [name, share] of Object.entries(uncalibrated))
      expect(Math.abs(blind[name]! - share)).toBeLessThan(0.002);
  });

  it('adds as little to the cup as reaches the tolerance', () => {
    const cup = formula.map(({ toner, share }) => ({ toner, weight: 100 * share }));
    const advice = addToCup(toners, cup, aim, tol);
    expect(advice.reaches).toBe(true);
    expect(advice.after).toBeLessThanOrEqual(tol);
    expect(advice.total).toBeLessThan(9.22);
    expect(Math.abs(advice.total - additions_total)).toBeLessThan(0.05);
    for (const { toner, weight } of advice.additions) {
      const wanted = additions[acrylics[toner]!.code as keyof typeof additions];
      expect(Math.abs(weight - wanted)).toBeLessThan(0.05);
    }
  });
});
