/**
 * Measured watercolour mixtures on paper (NTU WPSM, see the data file): two-flux films against two naive mixings.
 *
 * The model learns 13 paints from ladders of single paints and from mixtures of one file, and is tried on mixtures of
 * the other. The naive mixings learn nothing; they are given the measured reflectance of both single films.
 */
import { describe, expect, it } from 'vitest';
import { fitToners } from '../../server/paint/fit.ts';
import type { FitCard } from '../../server/paint/fit-model.ts';
import { absorptionOverScattering, opaqueReflectance } from '../../server/paint/kubelka-munk.ts';
import { deltaE00, labUnder } from '../../server/paint/light.ts';
import { predictedReadings } from '../../server/paint/predict.ts';
import { count, lights, spectrumOf, surface } from './acrylics-data.ts';
import { table } from './table.ts';

const unit = 1e-4;
const singles = table('watercolour-paints.csv');
const mixtures = table('watercolour-mixtures.csv');
const paper = spectrumOf(singles.find((row) => row.paint === 'paper')!, unit);
const paints = [...new Set(singles.map((row) => row.paint!))].filter((paint) => paint !== 'paper');

/** A film of so many hundredths of a millilitre on the paper. */
function film(parts: readonly (readonly [string, number])[]): Omit<FitCard, 'reflectance'> {
  const total = parts.reduce((sum, [, ml]) => sum + ml, 0);
  const components = parts.map(([paint, ml]) => ({ toner: paints.indexOf(paint), share: ml / total }));
  return { components, surface, film: { thickness: 100 * total, under: paper } };
}

const pair = (row: Record<string, string>): [[string, number], [string, number]] => [
  [row.paint1!, Number(row.ml1)],
  [row.paint2!, Number(row.ml2)],
];

const median = (values: readonly number[]): number => values.slice().sort((a, b) => a - b)[values.length >> 1]!;

describe('watercolour mixtures', () => {
  const ladder = singles
    .filter((row) => row.paint !== 'paper')
    .map((row): FitCard => ({ ...film([[row.paint!, Number(row.ml)]]), reflectance: spectrumOf(row, unit) }));
  const learned = mixtures
    .filter((row) => row.set === 'learn')
    .map((row): FitCard => ({ ...film(pair(row)), reflectance: spectrumOf(row, unit) }));
  const fit = fitToners({
    toners: paints.map((code) => ({ code, kind: 'transparent' })),
    cards: [...ladder, ...learned],
    count,
    // Hand-laid washes: far less even than sprayed cards.
    noise: {
      relative: 0.02,
      absolute: 0.003,
      offset: 0.002,
      spray: 0.1,
      misfit: 0,
      weighing: 0,
      pour: 0.05,
      thickness: 0.1,
    },
    expectedScattering: 0.02,
  });
  const single = new Map(singles.map((row) => [`${row.paint} ${row.ml}`, spectrumOf(row, unit)]));
  const light = lights[0]!;

  const errors = mixtures
    .filter((row) => row.set === 'check')
    .map((row) => {
      const measured = labUnder(light, spectrumOf(row, unit));
      const [[one, ml1], [other, ml2]] = pair(row);
      const a = single.get(`${one} ${row.ml1}`)!;
      const b = single.get(`${other} ${row.ml2}`)!;
      const share = ml1 / (ml1 + ml2);
      const off = (reading: Float64Array): number => deltaE00(labUnder(light, reading), measured);
      const ks = absorptionOverScattering;
      return {
        twoFlux: off(predictedReadings(fit, film(pair(row))).reflectance),
        linear: off(a.map((value, w) => share * value + (1 - share) * b[w]!)),
        single: off(a.map((value, w) => opaqueReflectance(share * ks(value) + (1 - share) * ks(b[w]!)))),
        overPaper: off(a.map((value, w) => opaqueReflectance(Math.max(ks(value) + ks(b[w]!) - ks(paper[w]!), 0)))),
      };
    });

  it.each(['linear', 'single', 'overPaper'] as const)('beat the %s mixing by a fifth and more', (naive) => {
    const ours = median(errors.map((error) => error.twoFlux));
    const theirs = median(errors.map((error) => error[naive]));
    // Paired bootstrap of the ratio of medians, seeded.
    let seed = 12345;
    const random = (): number => {
      seed = (1664525 * seed + 1013904223) >>> 0;
      return seed / 2 ** 32;
    };
    const ratios = Array.from({ length: 1000 }, () => {
      const drawn = errors.map(() => errors[Math.floor(random() * errors.length)]!);
      return median(drawn.map((error) => error.twoFlux)) / median(drawn.map((error) => error[naive]));
    }).sort((x, y) => x - y);
    const [low, high] = [ratios[25]!, ratios[975]!];
    console.info(
      `watercolours, ${errors.length} mixtures: median dE00 two-flux ${ours.toFixed(2)}, ${naive} ${theirs.toFixed(2)}, ` +
        `ratio ${(ours / theirs).toFixed(2)} (95 % interval ${low.toFixed(2)} to ${high.toFixed(2)})`,
    );
    expect(errors.length).toBeGreaterThan(300);
    expect(high).toBeLessThan(0.8);
  });
});
