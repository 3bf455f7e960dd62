import { describe, expect, it } from 'vitest';
import { type FormulationRequest, formulate, searchFormulas } from '../../../server/paint/formulate.ts';
import { bestSets, clippedShares, linearProblem } from '../../../server/paint/formulate-sets.ts';
import { linearise, mixtureReading } from '../../../server/paint/formulate-target.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import type { Component } from '../../../server/paint/mixture.ts';
import { smoothReflectance } from '../../../server/paint/smooth-reflectance.ts';
import { acrylics, components, indexOf, lights, named, surface } from '../../published/acrylics-data.ts';

const main = lights[0]!;
const green = components({ TitaniumWhite: 0.55, PhthaloGreenBlueShade: 0.08, HansaYellowOpaque: 0.3, BoneBlack: 0.07 });
const reading = (mixture: readonly Component[]): Float64Array => mixtureReading(acrylics, mixture, surface);
const request = (more: Partial<FormulationRequest> = {}): FormulationRequest => ({
  reading: { reflectance: reading(green) },
  toners: acrylics,
  surface,
  lights,
  tolerance: 0.5,
  most: 4,
  ...more,
});
const sum = (mixture: readonly Component[]): number => mixture.reduce((total, { share }) => total + share, 0);

describe('formulating', () => {
  it('offers different answers, the best first, all adding up', () => {
    const { solutions, reachable } = formulate(request());
    expect(reachable).toBe(true);
    expect(named(solutions[0]!.components).HansaYellowOpaque).toBeCloseTo(0.3, 3);
    expect(solutions.length).toBeGreaterThan(2);
    for (const solution of solutions) {
      expect(sum(solution.components)).toBeCloseTo(1, 3);
      expect(solution.worst).toBeCloseTo(Math.max(...solution.dE00), 12);
      expect(solution.components.every(({ share }) => share > 0)).toBe(true);
    }
  });

  it('says when other sets come as near', () => {
    const { unique, equals } = formulate(request());
    expect(unique).toBe(false);
    expect(equals).toBeGreaterThan(1);
    // Of a masstone nothing else comes near with one toner.
    const masstone = formulate(request({ reading: { reflectance: reading(components({ CobaltBlue: 1 })) }, most: 1 }));
    expect(masstone.unique).toBe(true);
    expect(named(masstone.solutions[0]!.components)).toEqual({ CobaltBlue: 1 });
  });

  it('offers one toner for another where the shelf is too short for sets that differ in two', () => {
    const black = acrylics[indexOf('BoneBlack')]!;
    const other = { ...black, code: 'OtherBlack', K: black.K.map((value) => 1.1 * value) };
    const toners = [...acrylics, other];
    const candidates = ['TitaniumWhite', 'PhthaloGreenBlueShade', 'HansaYellowOpaque', 'BoneBlack'].map(indexOf);
    const alone = formulate(request({ candidates })).solutions.filter(({ rms }) => rms < 0.1);
    expect(alone).toHaveLength(1);
    const both = formulate(request({ toners, candidates: [...candidates, acrylics.length] })).solutions;
    const near = both.filter(({ rms }) => rms < 0.1).map(({ components: used }) => used.map(({ toner }) => toner));
    expect(near).toHaveLength(2);
    expect(near.filter((used) => used.includes(acrylics.length))).toHaveLength(1);
  });

  it('says how near it gets when a colour cannot be reached', () => {
    const bright = new Float64Array(31).map((_, w) => (w > 18 ? 0.94 : 0.005));
    const { reachable, solutions } = formulate(request({ reading: { reflectance: bright } }));
    expect(reachable).toBe(false);
    expect(solutions[0]!.rms).toBeGreaterThan(0.5);
  });

  it('keeps to what must, must not and may be used', () => {
    const must = [indexOf('CobaltBlue')];
    const mustNot = [indexOf('PhthaloGreenBlueShade')];
    const yellow = indexOf('HansaYellowOpaque');
    const limits = new Map([[yellow, { least: 0, most: 0.2 }]]);
    const { solutions } = formulate(request({ must, mustNot, limits, tolerance: 3 }));
    expect(solutions.length).toBeGreaterThan(0);
    for (const { components: used } of solutions) {
      expect(used.some(({ toner, share }) => toner === must[0] && share >= 0.002 - 1e-9)).toBe(true);
      expect(used.some(({ toner }) => toner === mustNot[0])).toBe(false);
      expect(used.find(({ toner }) => toner === yellow)?.share ?? 0).toBeLessThanOrEqual(0.2 + 1e-9);
    }
  });

  it('explains constraints that contradict each other', () => {
    expect(() => formulate(request({ must: [3], mustNot: [3] }))).toThrow('both demanded and forbidden');
    expect(() => formulate(request({ must: [1, 2, 3], most: 2 }))).toThrow('3 toners are demanded');
    expect(() => formulate(request({ base: [{ toner: indexOf('clear'), share: 1 }] }))).toThrow('no room');
    expect(() => formulate(request({ reading: {} }))).toThrow('neither a spectrum nor a Lab');
  });

  it('puts the fixed base into every formula', () => {
    const base = [{ toner: indexOf('clear'), share: 0.3 }];
    const { solutions } = formulate(request({ base }));
    const shares = named(solutions[0]!.components);
    expect(shares.clear).toBe(0.3);
    expect(shares.HansaYellowOpaque).toBeCloseTo(0.7 * 0.3, 3);
    expect(sum(solutions[0]!.components)).toBeCloseTo(1, 3);
  });

  it('does not buy a fifth toner for less than the ±', () => {
    const { solutions } = formulate(request({ most: 5, plusMinus: () => 0.6 }));
    expect(solutions[0]!.size).toBeLessThanOrEqual(4);
    expect(solutions[0]!.plusMinus).toBe(0.6);
  });

  it('tells the cost', () => {
    const prices = acrylics.map((_, i) => i + 1);
    const { solutions } = formulate(request({ prices }));
    const cost = solutions[0]!.components.reduce((total, { toner, share }) => total + share * prices[toner]!, 0);
    expect(solutions[0]!.cost).toBeCloseTo(cost, 12);
  });
});

describe('a reading of Lab only', () => {
  const lab = labUnder(main, reading(green));
  const answer = formulate(request({ reading: { lab } }));

  it('is matched by several families that part under other lights', () => {
    const matching = answer.solutions.filter((solution) => solution.rms < 0.1);
    expect(matching.length).toBeGreaterThan(2);
    expect(answer.unique).toBe(false);
    expect(answer.undetermined!.map(({ light }) => light)).toEqual(['A/10', 'F11/10']);
    expect(answer.undetermined!.every(({ apart }) => apart > 0.5)).toBe(true);
    expect(answer.solutions.every((solution) => solution.metamerism === undefined)).toBe(true);
  });

  it('begins from a smooth spectrum of that colour', () => {
    for (const wanted of [lab, [50, 0, 0], [30, 40, -20], [80, 5, 60]] as const) {
      const smooth = smoothReflectance(main, wanted);
      expect(deltaE00(labUnder(main, smooth), wanted)).toBeLessThan(0.01);
      expect(smooth.every((value) => value > 0 && value < 1)).toBe(true);
    }
  });
});

describe('the search of sets', () => {
  const target = linearise(
    { lights, surface, labs: lights.map((light) => labUnder(light, reading(green))) },
    reading(green),
  );
  const problem = linearProblem(target, acrylics.slice(0, 9));
  const free = Array.from({ length: 9 }, () => ({ least: 0, most: 1 }));

  it('visits every set: no random mixture of three is better than its best', () => {
    const best = bestSets(problem, free, [], 3, 1).reduce((least, set) => Math.min(least, set.value), Infinity);
    const { size, gram, scattering } = problem;
    for (let i = 0; i < 9; i++) {
      for (let j = 0; j < i; j++) {
        for (let k = 0; k < j; k++) {
          for (const [a, b, c] of [
            [1, 1, 1],
            [5, 2, 1],
            [1, 8, 3],
            [1, 2, 9],
          ] as const) {
            const members = [i, j, k];
            const parts = [a, b, c];
            let value = 0;
            let total = 0;
            members.forEach((p, x) => {
              total += parts[x]! * scattering[p]!;
              members.forEach((q, y) => {
                value += parts[x]! * parts[y]! * gram[p * size + q]!;
              });
            });
            expect(value / total ** 2).toBeGreaterThanOrEqual(best * (1 - 1e-9));
          }
        }
      }
    }
  });

  it('keeps parts within bounds that leave room, and says when they do not', () => {
    const bounds = [
      { least: 0.2, most: 0.5 },
      { least: 0, most: 0.6 },
    ];
    const shares = clippedShares([0.05, 0.95], bounds)!;
    expect(shares[0]! + shares[1]!).toBeCloseTo(1, 12);
    expect(shares[0]!).toBeGreaterThanOrEqual(0.4 - 1e-12);
    expect(clippedShares([0.5, 0.5], [bounds[0]!, { least: 0, most: 0.3 }])).toBeUndefined();
  });

  it('is nearly as good as a beam, when there are too many toners for all sets', () => {
    // 64 toners: every acrylic in several strengths of its own.
    const many = Array.from({ length: 64 }, (_, i) => {
      const toner = acrylics[i % 19]!;
      const tilt = 1 + 0.05 * Math.floor(i / 19);
      return { ...toner, code: `${toner.code} ${i}`, K: toner.K.map((k, w) => k * tilt ** (w / 10)) };
    });
    const found = searchFormulas(request({ toners: many }));
    expect(found[0]!.rms).toBeLessThan(0.05);
  });
});
