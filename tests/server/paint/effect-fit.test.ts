import { describe, expect, it } from 'vitest';
import { tristimulusWeights } from '../../../server/colour/weights.ts';
import { coatedReflectance } from '../../../server/paint/effect-coats.ts';
import { labsOfAngles } from '../../../server/paint/effect-colour.ts';
import { addRow, envelope, factorise, solve } from '../../../server/paint/effect-envelope.ts';
import {
  angleWeight,
  cardAsLearned,
  type EffectCard,
  EffectEquations,
  filmOf,
  fitEffectToners,
  modelOf,
} from '../../../server/paint/effect-fit.ts';
import { effectGeometry } from '../../../server/paint/effect-geometry.ts';
import { effectCoatsToHide, showingThrough, undercoatInside } from '../../../server/paint/effect-hiding.ts';
import { smoothestSpectrum } from '../../../server/paint/effect-lab-card.ts';
import { type EffectToner, effectReflectance } from '../../../server/paint/effect-model.ts';
import { readEffectFit, recordEffectFit } from '../../../server/paint/effect-record.ts';
import { effectErrors, effectPlusMinus, formulaKind, leaveCardsOut } from '../../../server/paint/effect-uncertainty.ts';
import type { EffectKind } from '../../../server/paint/effect-unknowns.ts';

const bands = { start: 400, step: 20, count: 16 };
const geometries = [15, 25, 45, 75, 110].map(effectGeometry);
const weights = tristimulusWeights('D65', '10', bands.start, bands.step, bands.count);
const degree = Math.PI / 180;
const per = (value: (nm: number) => number): Float64Array =>
  Float64Array.from({ length: bands.count }, (_, i) => value(bands.start + i * bands.step));
const level = (value: number): Float64Array => per(() => value);

// A small made-up shop: a flake, a black, a red, a white.
const truth: EffectToner[] = [
  { kind: 'flake', flakes: 10, tilt: 6 * degree, strays: 0.05, edge: 0.06, reflectance: level(0.87) },
  { kind: 'pigment', absorption: level(140), scattering: level(1), disorder: 0 },
  {
    kind: 'pigment',
    absorption: per((nm) => 60 / (1 + Math.exp((nm - 590) / 12)) + 0.5),
    scattering: level(0.5),
    disorder: 0,
  },
  { kind: 'pigment', absorption: level(0.3), scattering: level(70), disorder: 10 * degree },
];
const kinds: EffectKind[] = ['flake', 'absorbing', 'absorbing', 'scattering'];
const model = { bands, geometries, backscatter: 0.17 };

const card = (toners: number[], shares: number[], thickness = 1): EffectCard => {
  const undercoat = level(0.04);
  const film = { toners: toners.map((t) => truth[t]!), shares, thickness, undercoat };
  return { toners, shares, thickness, undercoat, angles: [0, 1, 2, 3, 4], reflectance: effectReflectance(model, film) };
};
const cards = [
  card([0], [0.5]),
  card([0], [0.15], 0.6),
  card([0, 1], [0.4, 0.004]),
  card([0, 1], [0.4, 0.03]),
  card([0, 2], [0.35, 0.02]),
  card([0, 2], [0.35, 0.15]),
  card([0, 3], [0.35, 0.03]),
  card([0, 3], [0.35, 0.2]),
  card([3, 2], [0.4, 0.1]),
];

describe('fit', () => {
  const fit = fitEffectToners(kinds, bands, geometries, cards);

  it('gives back the constants that made the cards, within what the priors take', () => {
    const [flake, black, , white] = fit.toners;
    if (flake?.kind !== 'flake' || black?.kind !== 'pigment' || white?.kind !== 'pigment')
      throw new Error('wrong kinds');
    expect(flake.flakes / 10).toBeCloseTo(1, 1);
    expect(flake.tilt / (6 * degree)).toBeCloseTo(1, 1);
    expect(black.absorption[5]! / 140).toBeCloseTo(1, 1);
    expect(white.scattering[5]! / 70).toBeCloseTo(1, 1);
    expect(fit.backscatter).toBeGreaterThan(0.12);
    expect(fit.backscatter).toBeLessThan(0.22);
  });

  it('predicts an unseen mixture within 0.5 of L*, a*, b* at all angles', () => {
    const film = { shares: [0.3, 0.005, 0.05, 0.03], thickness: 0.8, undercoat: level(0.3) };
    const made = labsOfAngles(effectReflectance(model, { ...film, toners: truth }), weights);
    const predicted = labsOfAngles(effectReflectance(modelOf(fit), { ...film, toners: fit.toners }), weights);
    made.forEach((lab, a) => {
      lab.forEach((value, k) => {
        expect(Math.abs(predicted[a]![k]! - value)).toBeLessThan(0.5);
      });
    });
  });

  it('is the same every time', () => {
    expect(fitEffectToners(kinds, bands, geometries, cards).vector).toEqual(fit.vector);
  });

  it('leaves a toner without cards at the start of its kind, and says so', () => {
    const more = fitEffectToners([...kinds, 'pearl', 'clear'], bands, geometries, cards);
    expect(more.seen).toEqual([8, 2, 3, 3, 0, 0]);
    const pearl = more.toners[4]!;
    expect(pearl.kind === 'pearl' && pearl.plateIndex).toBeCloseTo(2, 6);
    expect(more.toners[0]).toEqual(expect.objectContaining({ kind: 'flake' }));
  });

  it('takes cards that were read at fewer angles', () => {
    const some = cards.map((one) => ({
      ...one,
      angles: [0, 2, 4],
      reflectance: [0, 2, 4].flatMap((a) =>
        Array.from((one.reflectance as Float64Array).slice(a * bands.count, (a + 1) * bands.count)),
      ),
    }));
    const fewer = fitEffectToners(kinds, bands, geometries, some);
    const flake = fewer.toners[0]!;
    expect(flake.kind === 'flake' && flake.tilt / (6 * degree)).toBeCloseTo(1, 1);
  });

  it('has the gradient that differences of the cost show', () => {
    const equations = new EffectEquations(
      [...kinds.slice(0, 3), 'pearl'],
      bands,
      geometries,
      [
        ...cards.slice(0, 5),
        { ...cards[5]!, toners: [0, 3], shares: [0.1, 0.2] },
        {
          ...cards[5]!,
          toners: [3, 2],
          shares: [0.1, 0.02],
          panel: 0,
          below: [{ toners: [0, 1], shares: [0.3, 0.02], thickness: 1 }],
        },
      ],
      [0.3],
    );
    const vector = equations.unknowns.start.map((value, at) => value + 0.1 * Math.sin(at));
    const matrix = equations.emptyMatrix();
    const gradient = new Float64Array(vector.length);
    const toners = equations.tonersAt(vector);
    for (const one of equations.cards) equations.addCard(vector, toners, one, matrix, gradient);
    equations.addPriors(vector, matrix, gradient);
    const scale = Math.max(...gradient.map(Math.abs));
    for (let at = 0; at < vector.length; at += 3) {
      const up = vector.slice();
      const down = vector.slice();
      up[at]! += 1e-4;
      down[at]! -= 1e-4;
      const slope = (equations.cost(up) - equations.cost(down)) / 4e-4;
      expect(Math.abs(gradient[at]! - slope)).toBeLessThan(2e-3 * scale + 0.02 * Math.abs(slope));
    }
  });

  describe('step panels', () => {
    const ground = { toners: [3, 2], shares: [0.4, 0.05], thickness: 1 };
    const undercoat = level(0.3);
    /** One mid coat is 0.4 thick; 0.5 is expected. */
    const step = (coats: number): EffectCard => {
      const layer = (one: typeof ground) => ({ ...one, toners: one.toners.map((t) => truth[t]!) });
      const film = { ...layer({ toners: [0, 1], shares: [0.1, 0.005], thickness: 0.4 * coats }), undercoat };
      const reflectance = coatedReflectance(model, { ...film, below: [layer(ground)] });
      const on = { toners: [0, 1], shares: [0.1, 0.005], thickness: 0.5 * coats };
      return { ...on, undercoat, angles: [0, 1, 2, 3, 4], reflectance, below: [ground], panel: 0 };
    };

    it('tell how thick one coat is', () => {
      const found = fitEffectToners(kinds, bands, geometries, [...cards, step(1), step(3)], { panels: [0.3] });
      expect(found.panels[0]!.film * 0.5).toBeCloseTo(0.4, 2);
      const made = labsOfAngles(Float64Array.from(step(2).reflectance), weights);
      const film = filmOf(cardAsLearned(found, step(2)), found.toners);
      labsOfAngles(coatedReflectance(modelOf(found), film), weights).forEach((lab, a) => {
        expect(Math.abs(lab[0] - made[a]![0])).toBeLessThan(0.5);
      });
    });

    it('refuses a panel that is not in the list', () => {
      expect(() => fitEffectToners(kinds, bands, geometries, [...cards, step(1)])).toThrow(/card 10: names a panel/);
    });
  });

  it('refuses cards that cannot be', () => {
    const wrong = (changes: Partial<EffectCard>) => () =>
      fitEffectToners(kinds, bands, geometries, [cards[0]!, { ...cards[1]!, ...changes }]);
    expect(wrong({ shares: [0.7, 0.2] })).toThrow(/card 2: as many shares/);
    expect(wrong({ shares: [1.7] })).toThrow(/card 2: shares/);
    expect(wrong({ toners: [9] })).toThrow(/not in the list/);
    expect(wrong({ toners: [0, 0], shares: [0.1, 0.1] })).toThrow(/twice/);
    expect(wrong({ thickness: 0 })).toThrow(/thickness/);
    expect(wrong({ angles: [0, 1] })).toThrow(/geometries need 32 values/);
    expect(wrong({ reflectance: new Float64Array(80).fill(Number.NaN) })).toThrow(/missing/);
    expect(wrong({ undercoat: [0.04] })).toThrow(/undercoat/);
  });

  it('gives a fit without cards: the starts', () => {
    expect(fitEffectToners(kinds, bands, geometries, []).seen).toEqual([0, 0, 0, 0]);
  });

  it('goes into JSON and out again with the same predictions', () => {
    const left = leaveCardsOut(fit, cards, weights);
    const record = recordEffectFit(fit, ['ALU', 'BLK', 'RED', 'WHT'], effectErrors(fit, cards, left));
    const back = readEffectFit(JSON.parse(JSON.stringify(record)));
    const film = { shares: [0.3, 0.01], thickness: 1, undercoat: level(0.04) };
    const before = effectReflectance(modelOf(fit), { ...film, toners: [fit.toners[0]!, fit.toners[2]!] });
    const after = effectReflectance(back.model, {
      ...film,
      toners: [back.toners.get('ALU')!, back.toners.get('RED')!],
    });
    after.forEach((value, at) => {
      expect(value).toBeCloseTo(before[at]!, 6);
    });
    expect(() => readEffectFit({ ...record, geometries: ['d/8'] })).toThrow(/d\/8/);
    expect(() => readEffectFit({ ...record, toners: [{ ...record.toners[0]!, numbers: {} }] })).toThrow(/ALU/);
  });
});

describe('±', () => {
  it('never says less than the floor, and joins kinds that have few cards', () => {
    const fit = fitEffectToners(kinds, bands, geometries, cards);
    const left = leaveCardsOut(fit, cards, weights);
    expect(left.map((one) => one.kind)).toEqual([
      ...Array(6).fill('flake'),
      'flake with white',
      'flake with white',
      'solid',
    ]);
    const errors = effectErrors(fit, cards, left);
    expect(effectPlusMinus(errors, '45as15', 'flake')).toBeGreaterThanOrEqual(1.5);
    expect(effectPlusMinus(errors, '45as110', 'flake')).toBeGreaterThanOrEqual(2);
    expect(effectPlusMinus(errors, '45as15', 'solid')).toBeGreaterThanOrEqual(1);
    expect(effectPlusMinus(errors, '45as60', 'flake')).toBeUndefined();
    // two cards with white are too few: all eight with flakes count
    expect(errors.find((one) => one.kind === 'flake with white')?.cards).toBe(8);
    expect(formulaKind([truth[0]!, truth[3]!], [0.3, 0])).toBe('flake');
  });

  it('says twice the floor when no card tells, and more of coats over a ground', () => {
    expect(effectErrors({ geometries }, [], []).map((one) => one.plusMinus)).toEqual([
      3, 3, 2, 6, 3, 3, 2, 6, 3, 3, 2, 6, 4, 4, 2, 6, 4, 4, 2, 6,
    ]);
  });
});

describe('one per cent more', () => {
  const toners = [truth[0]!, truth[1]!, truth[3]!];
  const lightness = (shares: readonly number[]) =>
    labsOfAngles(effectReflectance(model, { toners, shares, thickness: 1, undercoat: level(0.04) }), weights).map(
      ([L]) => L,
    );
  const moved = (toner: number) => {
    const after = lightness([0.35, 0, 0].map((share, j) => (share + (j === toner ? 0.01 : 0)) / 1.01));
    return after.map((L, a) => L - lightness([0.35, 0, 0])[a]!);
  };

  it('of black takes from the face and the flop, of white dulls the face and lifts the flop, of flake does least', () => {
    const [flake, black, white] = [0, 1, 2].map(moved);
    expect(black![0]).toBeLessThan(0);
    expect(black![4]).toBeLessThan(0);
    expect(white![0]).toBeLessThan(0);
    expect(white![4]).toBeGreaterThan(0);
    expect(Math.abs(flake![0]!)).toBeLessThan(Math.abs(black![0]!));
  });
});

describe('coats to hide', () => {
  const paint = { model, film: { toners: [truth[0]!, truth[2]!], shares: [0.08, 0.02] }, coat: 0.3, weights };
  const over = (grey: number): Float64Array => level(undercoatInside(grey));

  it('is the number from which on no angle is further than the tolerance from opaque', () => {
    const coats = effectCoatsToHide(paint, over(0.5), 1);
    expect(coats).toBeGreaterThan(1);
    const [before, at, thick] = showingThrough(paint, over(0.5), [coats * 0.97, coats, 60]);
    expect(before!.dE00).toBeGreaterThan(1);
    expect(at!.dE00).toBeLessThanOrEqual(1);
    expect(thick!.dE00).toBeLessThan(1e-4);
  });

  it('shows the undercoat most away from the gloss', () => {
    expect(showingThrough(paint, over(0.5), [1])[0]!.geometry).not.toBe('45as15');
  });

  it('halves with coats twice as thick, and a tighter tolerance needs more', () => {
    const coats = effectCoatsToHide(paint, over(0.5), 1);
    expect(effectCoatsToHide({ ...paint, coat: 0.6 }, over(0.5), 1)).toBeCloseTo(coats / 2, 2);
    expect(effectCoatsToHide(paint, over(0.5), 0.3)).toBeGreaterThan(coats);
  });

  it('clear binder never hides; black hides soon', () => {
    const clear: EffectToner = { kind: 'pigment', absorption: level(0), scattering: level(0), disorder: 0 };
    expect(effectCoatsToHide({ ...paint, film: { toners: [clear], shares: [1] } }, over(0.5), 1)).toBe(
      Number.POSITIVE_INFINITY,
    );
    const faint = { toners: [truth[2]!], shares: [1e-5] };
    expect(effectCoatsToHide({ ...paint, film: faint }, over(0.5), 1)).toBe(Number.POSITIVE_INFINITY);
    expect(effectCoatsToHide({ ...paint, film: { toners: [truth[1]!], shares: [0.3] } }, over(0.5), 1)).toBeLessThan(1);
  });

  it('takes an undercoat as it reads under the clear coat', () => {
    const bare: EffectToner = { kind: 'pigment', absorption: level(0), scattering: level(0), disorder: 0 };
    const film = { toners: [bare], shares: [1], thickness: 1, undercoat: over(0.31) };
    expect(effectReflectance(model, film)[2 * bands.count]).toBeCloseTo(0.31, 9);
  });
});

describe('cards with L*, a*, b* only', () => {
  it.each([
    [50, 0, 0],
    [130, 1, 2],
    [45, 20, -35],
    [64, 28, 87],
    [9, -1, -19],
  ] as const)('a spectrum that has the colour: %d %d %d', (...lab) => {
    const spectrum = smoothestSpectrum(lab, weights)!;
    expect(Math.min(...spectrum)).toBeGreaterThan(0);
    labsOfAngles(spectrum, weights)[0]!.forEach((value, k) => {
      expect(value).toBeCloseTo(lab[k]!, 3);
    });
  });

  it('a neutral is flat', () => {
    for (const value of smoothestSpectrum([50, 0, 0], weights)!) expect(value).toBeCloseTo(0.1842, 4);
  });

  it('says when there is none', () => {
    for (const lab of [
      [-0.1, 0, 0],
      [30, 0, 400],
      [Number.NaN, 0, 0],
    ] as const)
      expect(smoothestSpectrum(lab, weights)).toBeUndefined();
  });
});

describe('parts of the fit', () => {
  it('weighs the face less than the flop', () => {
    expect([-15, 15, 25, 45, 75, 110].map(angleWeight)).toEqual([0.5, 0.6, 0.8, 1, 1, 1]);
  });

  it('solves an envelope as a full system', () => {
    const size = 6;
    const matrix = envelope(Int32Array.of(0, 0, 1, 2, 2, 0));
    const rows: [number[], number[]][] = [
      [
        [0, 1, 5],
        [2, -1, 0.5],
      ],
      [
        [1, 2, 5],
        [1, 3, -1],
      ],
      [
        [2, 3, 4, 5],
        [1, -2, 0.3, 2],
      ],
      ...Array.from({ length: size }, (_, i): [number[], number[]] => [[i], [0.5 + i]]),
    ];
    const full = Array.from({ length: size }, () => new Float64Array(size));
    for (const [columns, row] of rows) {
      addRow(matrix, Int32Array.from(columns), Float64Array.from(row), row.length, 1);
      columns.forEach((i, p) => {
        columns.forEach((j, q) => {
          full[i]![j]! += row[p]! * row[q]!;
        });
      });
    }
    const x = Float64Array.of(1, -2, 3, 0.5, 4, -1);
    const right = Float64Array.from(full, (row) => row.reduce((sum, value, j) => sum + value * x[j]!, 0));
    expect(factorise(matrix)).toBe(true);
    solve(matrix, right).forEach((value, i) => {
      expect(value).toBeCloseTo(x[i]!, 10);
    });
    const indefinite = envelope(Int32Array.of(0, 0));
    addRow(indefinite, Int32Array.of(0), Float64Array.of(1), 1, -1);
    expect(factorise(indefinite)).toBe(false);
  });
});
