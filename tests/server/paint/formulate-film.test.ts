import { describe, expect, it } from 'vitest';
import { searchFormulas } from '../../../server/paint/formulate.ts';
import { refineParts } from '../../../server/paint/formulate-refine.ts';
import {
  differences,
  linearise,
  mixtureReading,
  rootMeanSquare,
  type SprayedFilm,
  type Target,
} from '../../../server/paint/formulate-target.ts';
import { labUnder } from '../../../server/paint/light.ts';
import type { TonerOptics } from '../../../server/paint/mixture.ts';
import { lights, surface } from '../../published/acrylics-data.ts';
import { Random, simulatedFormula, simulatedToners } from './simulated-book.ts';

const MOST = 3;
const toners: readonly TonerOptics[] = simulatedToners(new Random(5), 12).filter(({ kind }) => kind !== 'binder');
/** Films that hide more or less, over black, over grey and over a slope of reflectances. */
const film = (trial: number): SprayedFilm => ({
  thickness: new Float64Array(31).fill([1.5, 4, 9][trial % 3]!),
  under: Float64Array.from({ length: 31 }, (_, w) => [0.02, 0.4, 0.1 + 0.02 * w][trial % 3]!),
});

function* sets(members: readonly number[], from: number): Generator<readonly number[]> {
  if (members.length > 0) yield members;
  if (members.length === MOST) return;
  for (let i = from; i < toners.length; i++) yield* sets([...members, i], i + 1);
}

/** The least rms dE00 of any set, refined from even and from random shares. */
function exhaustive(target: Target, reflectance: Float64Array, random: Random): number {
  const linear = linearise(target, reflectance);
  let least = Number.POSITIVE_INFINITY;
  for (const members of sets([], 0)) {
    const own = members.map((i) => toners[i]!);
    const bounds = members.map(() => ({ least: 0, most: 1 }));
    const draws = members.map(() => -Math.log(1 - random.uniform()));
    const total = draws.reduce((sum, one) => sum + one, 0);
    for (const start of [members.map(() => 1 / members.length), draws.map((one) => one / total)]) {
      const { parts } = refineParts(linear, own, bounds, start, 20);
      const mixture = members.map((toner, i) => ({ toner, share: parts[i]! }));
      const reading = mixtureReading(toners, mixture, surface, target.film);
      least = Math.min(least, rootMeanSquare(differences(target, reading)));
    }
  }
  return least;
}

describe('formulating a film', () => {
  it.each([0, 1, 2, 3, 4, 5])('comes as near as any set of three, reading %i', (trial) => {
    const random = new Random(200 + trial);
    const own = film(trial);
    const wanted = simulatedFormula(random, toners);
    const reflectance = mixtureReading(toners, wanted, surface, own);
    const target: Target = { lights, surface, labs: lights.map((light) => labUnder(light, reflectance)), film: own };
    const [best] = searchFormulas({
      reading: { reflectance },
      toners,
      surface,
      lights,
      tolerance: 1,
      most: MOST,
      film: own,
    });
    expect(best!.rms).toBeLessThan(exhaustive(target, reflectance, random) + 0.02);
    // what is told of it is what it reads
    const reading = mixtureReading(toners, best!.components, surface, own);
    expect(rootMeanSquare(differences(target, reading))).toBeCloseTo(best!.rms, 9);
  });

  it('comes to the hiding paint as the film grows thick', () => {
    const random = new Random(3);
    const reflectance = mixtureReading(toners, simulatedFormula(random, toners), surface);
    const thick = { thickness: new Float64Array(31).fill(1e4), under: new Float64Array(31).fill(0.3) };
    const ask = (own?: SprayedFilm) =>
      searchFormulas({
        reading: { reflectance },
        toners,
        surface,
        lights,
        tolerance: 1,
        most: MOST,
        ...(own ? { film: own } : {}),
      })[0]!;
    expect(ask(thick).rms).toBeCloseTo(ask().rms, 2);
  });
});
