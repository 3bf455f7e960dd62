import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { effectGeometry, internalDiffuseReflectance } from '../../../server/paint/effect-geometry.ts';
import {
  type EffectFilm,
  type EffectToner,
  effectReflectance,
  lambertian,
  layerLight,
  layerOver,
  mirrorOrders,
  pearlPosition,
  type StreamRates,
} from '../../../server/paint/effect-model.ts';

const bands = { start: 400, step: 50, count: 7 };
const geometries = [-15, 15, 25, 45, 75, 110].map(effectGeometry);
const model = { bands, geometries, backscatter: 0.2 };
const degree = Math.PI / 180;
const level = (value: number): Float64Array => new Float64Array(bands.count).fill(value);

const flake = (changes: Partial<Extract<EffectToner, { kind: 'flake' }>> = {}): EffectToner => ({
  kind: 'flake',
  flakes: 9,
  tilt: 6 * degree,
  strays: 0.05,
  edge: 0.06,
  reflectance: level(0.87),
  ...changes,
});
const pigment = (K: number, S: number, disorder = 0): EffectToner => ({
  kind: 'pigment',
  absorption: level(K),
  scattering: level(S),
  disorder: disorder * degree,
});
const pearl: EffectToner = {
  kind: 'pearl',
  tilt: 5 * degree,
  strays: 0.03,
  edge: 0.4,
  plateIndex: 2.1,
  mirror: Float64Array.of(4, 3.5, 2.6, 1.4, 0.8, 0.3, 0.1, 0.2),
};
const black = pigment(150, 2);
const white = pigment(0.4, 80, 8);
const flopControl = pigment(0.2, 25, 25);
const blue: EffectToner = { ...pigment(0, 0.5), absorption: Float64Array.of(6, 3, 12, 30, 55, 40, 17) } as EffectToner;

const film = (parts: [EffectToner, number][], changes: Partial<EffectFilm> = {}): EffectFilm => ({
  toners: parts.map(([toner]) => toner),
  shares: parts.map(([, share]) => share),
  thickness: 1,
  undercoat: level(0.04),
  ...changes,
});
const readings = (parts: [EffectToner, number][], changes: Partial<EffectFilm> = {}): Float64Array =>
  effectReflectance(model, film(parts, changes));
/** mean over the bands, per angle */
const means = (all: Float64Array): number[] =>
  geometries.map((_, a) =>
    all.slice(a * bands.count, (a + 1) * bands.count).reduce((sum, v) => sum + v / bands.count, 0),
  );

/** Diffuse light that a film over a Lambertian undercoat gives back for mirror light and for diffuse light. */
function diffuseFilm(rates: StreamRates, thickness: number, undercoat: number) {
  const { dc, dd } = layerOver(layerLight(rates, thickness), lambertian(undercoat));
  return { fromMirror: dc, fromDiffuse: dd };
}

/** One film of the two streams integrated in small steps (Runge-Kutta on the reflectances, from the undercoat up). */
function integrated(
  rates: StreamRates,
  thickness: number,
  undercoat: number,
): { fromMirror: number; fromDiffuse: number } {
  // invariant embedding: what a layer dz on top does to the reflectances below (mirror to mirror, to diffuse, diffuse)
  const { mirrorLoss: ac, mirrorBack: bc, diffuseLoss: ad, diffuseBack: bd, toDown, toUp } = rates;
  const slope = ([rc, x, rd]: number[]): number[] => [
    bc - 2 * ac * rc! + bc * rc! * rc!,
    toUp + toDown * rd! + toDown * rc! + toUp * rc! * rd! - (ac + ad) * x! + bc * rc! * x! + bd * rd! * x!,
    bd - 2 * ad * rd! + bd * rd! * rd!,
  ];
  let state = [0, undercoat, undercoat];
  const steps = 20000;
  const h = thickness / steps;
  const plus = (a: number[], b: number[], by: number): number[] => a.map((value, i) => value + by * b[i]!);
  for (let i = 0; i < steps; i++) {
    const k1 = slope(state);
    const k2 = slope(plus(state, k1, h / 2));
    const k3 = slope(plus(state, k2, h / 2));
    const k4 = slope(plus(state, k3, h));
    state = state.map((value, j) => value + (h / 6) * (k1[j]! + 2 * k2[j]! + 2 * k3[j]! + k4[j]!));
  }
  return { fromMirror: state[1]!, fromDiffuse: state[2]! };
}

describe('orders of mirrors', () => {
  it('sums to the two-flux value: the terms are Catalan numbers', () => {
    for (const [alpha, b] of [
      [9, 7.9],
      [12, 5],
      [20, 0.3],
    ] as const) {
      const x = b / (2 * alpha);
      let term = x;
      let sum = 0;
      for (let n = 0; n < 4000; n++) {
        sum += term;
        term *= ((2 * (2 * n + 1)) / (n + 2)) * x * x;
      }
      const orders = mirrorOrders(alpha, b, 1e6);
      expect(orders.first).toBeCloseTo(x, 12);
      expect(orders.third).toBeCloseTo(x ** 3, 10);
      expect(orders.first + orders.third + orders.later).toBeCloseTo(sum, 8);
    }
  });

  it('nothing absorbs: one mirror returns half, and a film of thickness X returns bX/(1 + bX)', () => {
    const b = 8;
    expect(mirrorOrders(b, b, 1e9).first).toBeCloseTo(0.5, 12);
    const thin = mirrorOrders(b, b, 0.3);
    expect(thin.first).toBeCloseTo((1 - Math.exp(-2 * b * 0.3)) / 2, 12);
    expect(thin.first + thin.third + thin.later).toBeCloseTo((b * 0.3) / (1 + b * 0.3), 6);
  });

  it('a very thin film returns b X', () => {
    const orders = mirrorOrders(10, 8, 1e-6);
    expect(orders.first / 8e-6).toBeCloseTo(1, 4);
    expect(orders.third + orders.later).toBeLessThan(1e-9);
  });
});

describe('diffuse part', () => {
  const rates: StreamRates = { mirrorLoss: 11, mirrorBack: 5, diffuseLoss: 14, diffuseBack: 9, toDown: 3, toUp: 1 };

  it.each([
    ['flake and pigment', rates, 1],
    ['thin', rates, 0.05],
    ['nothing absorbs', { mirrorLoss: 12, mirrorBack: 8, diffuseLoss: 9, diffuseBack: 9, toDown: 3, toUp: 1 }, 1],
    ['black', { mirrorLoss: 60, mirrorBack: 1, diffuseLoss: 80, diffuseBack: 2, toDown: 1, toUp: 0.5 }, 1],
    ['three coats', rates, 3],
  ] as const)('doubling equals fine integration: %s', (_, streams, thickness) => {
    const doubled = diffuseFilm(streams, thickness, 0.4);
    const fine = integrated(streams, thickness, 0.4);
    expect(doubled.fromMirror).toBeCloseTo(fine.fromMirror, 4);
    expect(doubled.fromDiffuse).toBeCloseTo(fine.fromDiffuse, 4);
  });

  it('a layer of no thickness shows the undercoat alone', () => {
    const film = diffuseFilm(rates, 0, 0.37);
    expect(film.fromMirror).toBeCloseTo(0.37, 12);
    expect(film.fromDiffuse).toBeCloseTo(0.37, 12);
  });

  it('returns a film of no thickness with the first order of its sources', () => {
    const h = 1e-6;
    const film = diffuseFilm(rates, h, 0);
    expect(film.fromMirror / h).toBeCloseTo(rates.toUp, 3);
    expect(film.fromDiffuse / h).toBeCloseTo(rates.diffuseBack, 2);
  });

  it('meets the two-flux limit of thick films', () => {
    const film = diffuseFilm(rates, 200, 0.5);
    const ratio = rates.diffuseLoss / rates.diffuseBack;
    expect(film.fromDiffuse).toBeCloseTo(ratio - Math.sqrt(ratio * ratio - 1), 10);
  });

  it('never returns more than it gets, and all of it when nothing absorbs over white', () => {
    const rate = fc.double({ min: 0, max: 60, noNaN: true });
    fc.assert(
      fc.property(
        rate,
        rate,
        rate,
        rate,
        rate,
        fc.double({ min: 0.001, max: 8, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (mirror, back, down, up, lost, thickness, undercoat) => {
          const streams = (loss: number): StreamRates => ({
            mirrorLoss: mirror + down + up + loss,
            mirrorBack: mirror,
            diffuseLoss: back + loss,
            diffuseBack: back,
            toDown: down,
            toUp: up,
          });
          const lossy = diffuseFilm(streams(lost), thickness, undercoat);
          expect(lossy.fromDiffuse).toBeLessThanOrEqual(1 + 1e-9);
          expect(lossy.fromMirror).toBeLessThanOrEqual(1 + 1e-9);
          expect(lossy.fromMirror).toBeGreaterThanOrEqual(-1e-9);
          expect(diffuseFilm(streams(0), thickness, 1).fromDiffuse).toBeCloseTo(1, 8);
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('reflectance', () => {
  it('no film: a Lambertian undercoat under the surface', () => {
    const g = 0.8;
    const clear = readings([[pigment(0, 0), 1]], { undercoat: level(g) });
    geometries.forEach((geometry, a) => {
      expect(clear[a * bands.count]).toBeCloseTo(
        (geometry.diffuseGain * g) / (1 - internalDiffuseReflectance(1.5) * g),
        10,
      );
    });
  });

  it('one thin layer of flakes: gain times density of normals times flake area', () => {
    const thin = readings([[flake({ edge: 0, strays: 0, reflectance: level(0.9) }), 1]], {
      thickness: 1e-5,
      undercoat: level(0),
    });
    geometries.forEach((geometry, a) => {
      const variance = (6 * degree) ** 2 + geometry.halfAperture ** 2 / 4;
      const density = Math.exp(-(geometry.tilt ** 2) / (2 * variance)) / (2 * Math.PI * variance * (1 - variance / 3));
      expect(thin[a * bands.count]! / (geometry.mirrorGain * density * 9 * 0.9 * 1e-5)).toBeCloseTo(1, 3);
    });
  });

  it('exceeds 1 where flakes mirror, and is not clamped', () => {
    expect(readings([[flake(), 0.5]])[0]).toBeGreaterThan(1.5);
  });

  it('a toner in two lines is the toner in one', () => {
    const once = readings([
      [flake(), 0.3],
      [blue, 0.06],
    ]);
    const twice = readings([
      [flake(), 0.1],
      [blue, 0.02],
      [flake(), 0.2],
      [blue, 0.04],
    ]);
    once.forEach((value, at) => {
      expect(twice[at]).toBeCloseTo(value, 10);
    });
  });

  it('is a finite number, 0 or more, for any mixture', () => {
    const toners = [flake(), pearl, black, white, flopControl, blue];
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(share, { minLength: 6, maxLength: 6 }),
        fc.constantFrom(0, 1e-6, 0.1, 1, 7, 300),
        fc.constantFrom(0, 0.5, 1),
        (shares, thickness, undercoat) => {
          for (const value of effectReflectance(model, { toners, shares, thickness, undercoat: level(undercoat) })) {
            expect(Number.isFinite(value)).toBe(true);
            expect(value).toBeGreaterThanOrEqual(0);
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  it('reads a pearl at longer wavelengths the more the light slants', () => {
    const positions = geometries.map((geometry) => pearlPosition(bands, geometry, 2, 2));
    expect(positions[4]).toBeGreaterThan(2);
    expect(positions[1]).toBeGreaterThan(positions[3]!);
    expect(positions[0]).toBeGreaterThan(positions[1]!);
    // bare plate of index n in a binder of 1.5: cos psi by Snell
    const sine = (1.5 / 2) * Math.sin(geometries[0]!.incidence);
    expect(positions[0]).toBeCloseTo((500 / Math.sqrt(1 - sine ** 2) - 400) / 50, 12);
  });
});

// These hold in every case of the ray simulation; sayings that hold only sometimes are left out on purpose.
describe('what holds for every effect colour', () => {
  const bases: [string, [EffectToner, number][]][] = [
    ['silver', [[flake(), 0.35]]],
    [
      'blue silver',
      [
        [flake(), 0.35],
        [blue, 0.05],
      ],
    ],
    ['pearl', [[pearl, 0.35]]],
  ];

  it.each(bases)('black darkens every angle of a %s', (_, base) => {
    let before = means(readings(base));
    for (const share of [0.002, 0.005, 0.01, 0.02, 0.05]) {
      const after = means(readings([...base, [black, share]]));
      after.forEach((value, a) => {
        expect(value).toBeLessThan(before[a]!);
      });
      before = after;
    }
  });

  it.each(bases.slice(0, 2))('flatter flake: brighter at 15, darker at 75 and 110, in a %s', (_, base) => {
    const at = (tilt: number): number[] =>
      means(
        readings(
          base.map(([toner, share]) => [toner.kind === 'flake' ? flake({ tilt: tilt * degree }) : toner, share]),
        ),
      );
    const [flat, medium, steep] = [at(4), at(6), at(9)] as const;
    expect(flat[1]).toBeGreaterThan(medium[1]!);
    expect(medium[1]).toBeGreaterThan(steep[1]!);
    for (const a of [4, 5]) {
      expect(flat[a]).toBeLessThan(medium[a]!);
      expect(medium[a]).toBeLessThan(steep[a]!);
    }
  });

  it.each([
    ['white', white, [0.005, 0.01, 0.03, 0.1]],
    ['flop control', flopControl, [0.05, 0.1, 0.2]],
  ] as const)('%s lowers 15 and 25 and lifts 75 and 110 of a silver and a blue silver', (_, toner, shares) => {
    for (const [, base] of bases.slice(0, 2)) {
      let before = means(readings(base));
      for (const share of shares) {
        const after = means(readings([...base, [toner, share]]));
        for (const a of [1, 2]) expect(after[a]).toBeLessThan(before[a]!);
        for (const a of [4, 5]) expect(after[a]).toBeGreaterThan(before[a]!);
        before = after;
      }
    }
  });

  it('a blend of coarse and fine lies between the two at 15 and 110', () => {
    const coarse = flake({ flakes: 6, tilt: 4 * degree });
    const fine = flake({ flakes: 14, tilt: 9 * degree });
    const blend = means(
      readings([
        [coarse, 0.2],
        [fine, 0.15],
      ]),
    );
    const ends = [means(readings([[coarse, 0.35]])), means(readings([[fine, 0.35]]))] as const;
    for (const a of [1, 5]) {
      expect(blend[a]).toBeGreaterThan(Math.min(ends[0][a]!, ends[1][a]!));
      expect(blend[a]).toBeLessThan(Math.max(ends[0][a]!, ends[1][a]!));
    }
  });

  it('a lighter undercoat lightens every angle of a thin film, the flop most', () => {
    const over = (g: number): number[] => means(readings([[flake(), 0.15]], { undercoat: level(g) }));
    const [dark, grey, light] = [over(0.04), over(0.25), over(0.8)] as const;
    grey.forEach((value, a) => {
      expect(value).toBeGreaterThan(dark[a]!);
      expect(light[a]).toBeGreaterThan(value);
    });
    expect(light[5]! / dark[5]!).toBeGreaterThan(light[1]! / dark[1]!);
  });

  it('black makes the face stand out more from the flop, as the ratio of 15 to 110', () => {
    const ratio = (share: number): number => {
      const all = means(
        readings([
          [flake(), 0.35],
          [black, share],
        ]),
      );
      return all[1]! / all[5]!;
    };
    expect(ratio(0.01)).toBeGreaterThan(ratio(0));
    expect(ratio(0.05)).toBeGreaterThan(ratio(0.01));
  });
});
