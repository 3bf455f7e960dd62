/**
 * Effect colours against an independent Monte-Carlo simulation (data/effect, see its README).
 *
 * The gate was set before the model was written: learned from 63 simulated cards, the 23 unseen formulas are predicted with a
 * median of at most 1.0 and a 90th percentile of at most 2.0 dE00 over the six angles.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { deltaE00 } from '../../server/colour/ciede2000.ts';
import type { Lab } from '../../server/colour/lab.ts';
import { tristimulusWeights } from '../../server/colour/weights.ts';
import { labsOfAngles } from '../../server/paint/effect-colour.ts';
import { type EffectCard, type EffectFit, fitEffectToners, modelOf } from '../../server/paint/effect-fit.ts';
import { smoothestSpectrum } from '../../server/paint/effect-lab-card.ts';
import { type EffectToner, effectReflectance } from '../../server/paint/effect-model.ts';
import { effectErrors, floorOf, leaveCardsOut } from '../../server/paint/effect-uncertainty.ts';
import {
  bands,
  blackUndercoat,
  geometries,
  kinds,
  lean,
  mixtureOf,
  paintsOf,
  readCards,
  rowsOf,
  weights,
} from './effect-paints.ts';

/**
 * Median dE00 that is allowed per angle, of formulas that the fit has not seen: one and a half times what the reference
 * implementation of the study behind the model had from the same cards (0.70 0.81 0.61 0.59 1.12 1.09). Taken from the study and not
 * from this model, but written down when this model's figures were known.
 */
const allowedMedian: Readonly<Record<string, number>> = {
  '45as-15': 1.05,
  '45as15': 1.22,
  '45as25': 0.92,
  '45as45': 0.89,
  '45as75': 1.68,
  '45as110': 1.64,
};

function expectAllowedAtEachAngle(errors: readonly (readonly number[])[]): void {
  geometries.forEach(({ name }, a) => {
    expect(quantile(errors[a]!, 0.5), `median at ${name}`).toBeLessThanOrEqual(allowedMedian[name]!);
  });
}

const paints = paintsOf('cards.csv');
const unseen = paintsOf('unseen.csv');

const quantile = (values: readonly number[], part: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(part * values.length))]!;

/** dE00 of all unseen formulas, per angle. */
function unseenErrors(fit: EffectFit, light = weights): number[][] {
  const model = modelOf(fit);
  const errors = unseen.map((paint) => {
    const toners = paint.toners.map((toner) => fit.toners[toner]!);
    const predicted = effectReflectance(model, {
      toners,
      shares: paint.shares,
      thickness: 1,
      undercoat: blackUndercoat,
    });
    const truth = labsOfAngles(paint.reflectance, light);
    return labsOfAngles(predicted, light).map((lab, a) => deltaE00(truth[a]!, lab));
  });
  return geometries.map((_, a) => errors.map((row) => row[a]!));
}

function told(what: string, errors: number[][]): string {
  const perAngle = geometries
    .map((geometry, a) => `${geometry.name} ${quantile(errors[a]!, 0.5).toFixed(2)}`)
    .join('  ');
  const all = errors.flat();
  const figures = [0.5, 0.9, 1].map((part) => quantile(all, part).toFixed(2));
  return `${what}: median ${figures[0]}, 90th percentile ${figures[1]}, largest ${figures[2]} dE00; medians ${perAngle}`;
}

describe('learned from simulated cards', () => {
  let cards: EffectCard[];
  let fit: EffectFit;
  beforeAll(() => {
    cards = readCards(paints, 1);
    fit = fitEffectToners(kinds, bands, geometries, cards);
  });

  it('predicts unseen formulas: median <= 1.0, 90th percentile <= 2.0 dE00 over all angles, and what is allowed at each', () => {
    const errors = unseenErrors(fit);
    console.log(told(`63 cards, ${fit.steps} steps`, errors));
    expect(quantile(errors.flat(), 0.5)).toBeLessThanOrEqual(1);
    expect(quantile(errors.flat(), 0.9)).toBeLessThanOrEqual(2);
    expectAllowedAtEachAngle(errors);
  });

  it('does nearly as well from 21 cards, about two a toner', () => {
    const few = cards.filter((_, n) => lean.has(paints[n]!.formula));
    expect(few).toHaveLength(21);
    const errors = unseenErrors(fitEffectToners(kinds, bands, geometries, few));
    console.log(told('21 cards', errors));
    expect(quantile(errors.flat(), 0.5)).toBeLessThanOrEqual(1.5);
    expect(quantile(errors.flat(), 0.9)).toBeLessThanOrEqual(3);
  });

  it('does not hang on the draw of the noise', () => {
    const errors = unseenErrors(fitEffectToners(kinds, bands, geometries, readCards(paints, 7)));
    console.log(told('63 cards, other noise', errors));
    expect(quantile(errors.flat(), 0.9)).toBeLessThanOrEqual(2);
    expectAllowedAtEachAngle(errors);
  });

  it('needs not be told that a black is transparent', () => {
    const opaqueBlack = kinds.map((kind, t) => (t === 5 ? 'scattering' : kind));
    const errors = unseenErrors(fitEffectToners(opaqueBlack, bands, geometries, cards));
    console.log(told('black as an opaque colour', errors));
    expect(quantile(errors.flat(), 0.9)).toBeLessThanOrEqual(2);
  });

  it('makes do with L*, a*, b* of the cards, less well, and less well still under another light', () => {
    const labCards = cards.map((card) => {
      const labs = labsOfAngles(Float64Array.from(card.reflectance), weights).map(
        (lab) => lab.map((value) => Math.round(value * 100) / 100) as unknown as Lab,
      );
      const spectra = labs.map((lab) => smoothestSpectrum(lab, weights));
      return {
        ...card,
        angles: card.angles.filter((_, n) => spectra[n] !== undefined),
        reflectance: spectra.flatMap((spectrum) => Array.from(spectrum ?? [])),
      };
    });
    const rough = fitEffectToners(kinds, bands, geometries, labCards);
    const daylight = unseenErrors(rough);
    const lamp = unseenErrors(rough, tristimulusWeights('A', '10', bands.start, bands.step, bands.count));
    console.log(told('63 cards, L*a*b* D65 only', daylight));
    console.log(told('the same, judged under illuminant A', lamp));
    expect(quantile(daylight.flat(), 0.5)).toBeLessThanOrEqual(1.5);
    expect(quantile(lamp.flat(), 0.5)).toBeLessThanOrEqual(2);
  });

  it('says a ± from left-out cards that covers at least 9 of 10 unseen colours', () => {
    const left = leaveCardsOut(fit, cards, weights);
    const errors = effectErrors(fit, cards, left);
    const seen = unseenErrors(fit);
    let within = 0;
    let withoutFloor = 0;
    unseen.forEach((paint, n) => {
      const white = paint.toners.some((toner) => kinds[toner] === 'scattering');
      geometries.forEach((geometry, a) => {
        const said = errors.find(
          (error) => error.geometry === geometry.name && error.kind === (white ? 'flake with white' : 'flake'),
        )!;
        expect(said.plusMinus).toBeGreaterThanOrEqual(floorOf(geometry.aspecular));
        if (seen[a]![n]! <= said.plusMinus) within++;
        if (seen[a]![n]! <= said.ninetieth!) withoutFloor++;
      });
    });
    for (const error of errors)
      console.log(
        `${error.geometry} ${error.kind}: 9 of 10 of ${error.cards} left-out cards within ${error.ninetieth?.toFixed(2)}, said ± ${error.plusMinus.toFixed(2)}`,
      );
    const all = unseen.length * geometries.length;
    console.log(
      `${within} of ${all} unseen colours within their ±, ${withoutFloor} within what left-out cards say alone`,
    );
    // the floor is for real cards, whose flakes lie otherwise with every spraying; these are machine-made
    expect(within / all).toBeGreaterThanOrEqual(0.9);
    expect(withoutFloor / all).toBeGreaterThanOrEqual(0.85);
  });

  it('leaves a card out by one linear step about as a true refit does', () => {
    const left = leaveCardsOut(fit, cards, weights);
    for (const n of [8, 43]) {
      const others = cards.filter((_, m) => m !== n);
      const refit = fitEffectToners(kinds, bands, geometries, others);
      const card = cards[n]!;
      const toners = card.toners.map((toner) => refit.toners[toner]!);
      const labs = labsOfAngles(effectReflectance(modelOf(refit), { ...card, toners }), weights);
      const truth = labsOfAngles(Float64Array.from(card.reflectance), weights);
      labs.forEach((lab, a) => {
        const refitted = deltaE00(truth[a]!, lab);
        expect(Math.abs(left[n]!.dE00[a]! - refitted)).toBeLessThan(0.15 + 0.25 * refitted);
      });
    }
  });
});

describe('a second simulation, of films that no choice in the model has seen', () => {
  it('is predicted as well, also thin over greys: median <= 1.0, 90th percentile <= 2.0 dE00', () => {
    const fit = fitEffectToners(kinds, bands, geometries, readCards(paints, 1));
    const model = modelOf(fit);
    const errors = geometries.map((): number[] => []);
    for (const [formula, thickness, undercoat, geometry, ...values] of rowsOf('films-over-greys.csv')) {
      const a = geometries.findIndex(({ name }) => name === geometry);
      const { toners, shares } = mixtureOf(formula!);
      const predicted = effectReflectance(model, {
        toners: toners.map((toner) => fit.toners[toner]!),
        shares,
        thickness: Number(thickness),
        undercoat: new Float64Array(bands.count).fill(Number(undercoat)),
      });
      const read = labsOfAngles(Float64Array.from(values, Number), weights)[0]!;
      errors[a]!.push(deltaE00(read, labsOfAngles(predicted, weights)[a]!));
    }
    expect(errors.flat()).toHaveLength(108);
    console.log(told('18 films of a second simulation', errors));
    expect(quantile(errors.flat(), 0.5)).toBeLessThanOrEqual(1);
    expect(quantile(errors.flat(), 0.9)).toBeLessThanOrEqual(2);
    expectAllowedAtEachAngle(errors);
  });
});

describe('forward, from the physical constants of a film', () => {
  // The study behind the model found medians of 0.037 0.019 0.021 0.026 0.27 0.28 with the same series; the flop figures are
  // dark films (reflectance below 0.01). Allowed: about one and a half times that.
  const allowed = [0.06, 0.03, 0.03, 0.04, 0.42, 0.42];

  it('agrees with the ray simulation of 12 films at 6 levels of absorption', () => {
    const one = { start: 550, step: 10, count: 1 };
    // eta as found by the fits; a film's own is not known
    const model = { bands: one, geometries, backscatter: 0.15 };
    const errors = geometries.map((): number[] => []);
    for (const row of rowsOf('films.csv')) {
      const [, thickness, K, S, , substrate, flakes, ...values] = row;
      const toners: EffectToner[] = [
        {
          kind: 'pigment',
          absorption: Float64Array.of(Number(K)),
          scattering: Float64Array.of(Number(S)),
          disorder: 0,
        },
      ];
      for (const text of flakes!.split(';').filter((part) => part.includes('N='))) {
        const number = (key: string): number => Number(new RegExp(`(?:^|\\s)${key}=([\\d.]+)`).exec(text)![1]);
        toners.push({
          kind: 'flake',
          flakes: number('N'),
          tilt: (number('sigma') * Math.PI) / 180,
          strays: number('tail'),
          edge: number('edge'),
          reflectance: Float64Array.of(number('rho')),
        });
      }
      const film = {
        toners,
        shares: toners.map(() => 1),
        thickness: Number(thickness),
        undercoat: [Number(substrate)],
      };
      effectReflectance(model, film).forEach((value, a) => {
        const simulated = Number(values[a]);
        const noise = Number(values[geometries.length + a]);
        // what the simulation itself does not know is no error of the model
        if (simulated > 1e-4) errors[a]!.push(Math.max(0, Math.abs(value - simulated) - noise) / simulated);
      });
    }
    const medians = errors.map((list) => quantile(list, 0.5));
    console.log(`films: median relative error ${medians.map((value) => value.toFixed(3)).join(' ')}`);
    for (const [a, median] of medians.entries()) expect(median).toBeLessThanOrEqual(allowed[a]!);
  });
});
