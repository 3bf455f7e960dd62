import { describe, expect, test } from 'vitest';
import { type Film, flat, type Layer } from './film.ts';
import { simulate } from './simulate.ts';
import { fresnel, type Geometry, geometries, light, refractIn, views } from './surface.ts';
import { tiltTable } from './tilt.ts';

/*
 * Five facts of ray optics that do not come from any model of paint. Tolerances are four standard errors of the count
 * (a chance of about 1 in 16,000 for a wrong alarm, and the seed is fixed), plus what the aperture of 4 degrees may blur.
 */
const oneBand = (value: number) => new Float64Array([value]);
const nothing: Layer = { thickness: 0.5, absorption: oneBand(0), scattering: 0, asymmetry: 0, flakes: [] };
const film = (change: Partial<Film>, layer: Partial<Layer> = {}): Film => ({
  index: 1.5,
  layers: [{ ...nothing, ...layer }],
  undercoat: oneBand(0),
  ...change,
});
const cosineOutside = (geometry: Geometry) => Math.cos((views[geometry] * Math.PI) / 180);

/** Light that goes in and comes out through the surface without meeting anything: Ti To / n^2. */
function surfaceFactor(geometry: Geometry): number {
  const through = (cosine: number) => 1 - fresnel(cosine, 1, 1.5);
  return (through(-light[2]) * through(cosineOutside(geometry))) / 1.5 ** 2;
}

describe('rays against known optics', () => {
  test('a white Lambertian undercoat without a surface reads 1 at every angle', () => {
    const { reflectance } = simulate(film({ index: 1, undercoat: oneBand(1) }), { rays: 400, seed: 1, geometries });
    for (const geometry of geometries) expect(reflectance[geometry][0]).toBeCloseTo(1, 12);
  });

  test('a Lambertian undercoat of 0.8 under n = 1.5 reads Ti To/n^2 rho/(1 - ri rho)', () => {
    // ri = 0.5963, internal diffuse reflectance for n = 1.5 (Saunderson 1942; Judd 1942: 0.596).
    const settings = { rays: 60_000, seed: 2, geometries, aperture: 0.5 };
    const { reflectance, error } = simulate(film({ undercoat: oneBand(0.8) }), settings);
    for (const geometry of geometries) {
      const expected = (surfaceFactor(geometry) * 0.8) / (1 - 0.5963 * 0.8);
      expect(Math.abs(reflectance[geometry][0]! - expected)).toBeLessThan(4 * error[geometry] + 0.001 * expected);
    }
  });

  test.each([0.5, 0.9, 0.99])('a deep evenly scattering layer of albedo %s agrees with the H functions', (albedo) => {
    const deep = { thickness: 400, absorption: oneBand(1 - albedo), scattering: albedo };
    const settings = { rays: 24_000, seed: 3, geometries, aperture: 0.1 };
    const { reflectance, error } = simulate(film({ index: 1 }, deep), settings);
    const h = chandrasekhar(albedo);
    for (const geometry of geometries) {
      const [mu0, mu] = [-light[2], cosineOutside(geometry)];
      const expected = ((albedo / 4) * h(mu0) * h(mu)) / (mu0 + mu);
      expect(Math.abs(reflectance[geometry][0]! - expected)).toBeLessThan(4 * error[geometry] + 1e-4);
    }
  });

  test('where nothing absorbs, all the light that goes in comes out', () => {
    const silver = {
      rate: 3,
      edge: 0.1,
      sigma: 6,
      tail: 0.08,
      tailSigma: 15,
      mirror: { reflectance: oneBand(1) },
    };
    const lossless = film({ undercoat: oneBand(1) }, { scattering: 2, asymmetry: 0.5, flakes: [silver] });
    const { leaving } = simulate(lossless, { rays: 20_000, seed: 4, geometries: [] });
    const inside = 1 - fresnel(-light[2], 1, 1.5);
    expect(leaving / inside).toBeCloseTo(1, 9);
  });

  test('a thin layer of flakes reads pi Ti To/(4 n^2 cos cos) p N rho', () => {
    const rate = 0.002;
    const lying = { sigma: 8, tail: 0, tailSigma: 8 };
    const mirror = { reflectance: oneBand(0.88) };
    const thin = film({}, { thickness: 1, flakes: [{ ...lying, rate, edge: 0, mirror }] });
    const settings = { rays: 2_000_000, seed: 5, geometries, aperture: 0.1 };
    const { reflectance, error } = simulate(thin, settings);
    const { density } = tiltTable(lying);
    const inside = refractIn(light, 1.5);
    for (const geometry of geometries.slice(0, 5)) {
      const angle = (views[geometry] * Math.PI) / 180;
      const out = refractIn([Math.sin(angle), 0, Math.cos(angle)], 1.5);
      const half = [out[0] - inside[0], out[2] - inside[2]] as const;
      const tilt = density(half[1] / Math.hypot(...half));
      const expected = ((Math.PI * surfaceFactor(geometry)) / (4 * -inside[2] * out[2])) * tilt * rate * 0.88;
      expect(Math.abs(reflectance[geometry][0]! - expected)).toBeLessThan(4 * error[geometry] + 0.005 * expected);
    }
  });

  test('the same seed gives the same figures', () => {
    const grey = film({ undercoat: flat(0.3) }, { absorption: flat(0.2), scattering: 3 });
    const once = simulate(grey, { rays: 300, seed: 9, geometries });
    expect(simulate(grey, { rays: 300, seed: 9, geometries })).toEqual(once);
    expect(simulate(grey, { rays: 300, seed: 10, geometries })).not.toEqual(once);
  });
});

/** H function of isotropic scattering (Chandrasekhar 1950): 1/H = sqrt(1-w) + w/2 integral of m H(m)/(mu+m). */
function chandrasekhar(albedo: number): (mu: number) => number {
  const points = 400;
  const nodes = Array.from({ length: points }, (_, i) => (i + 0.5) / points);
  let values = nodes.map(() => 1);
  const at = (mu: number) => {
    const integral = nodes.reduce((sum, m, i) => sum + (m * values[i]!) / (mu + m) / points, 0);
    return 1 / (Math.sqrt(1 - albedo) + (albedo / 2) * integral);
  };
  for (let round = 0; round < 200; round++) values = nodes.map(at);
  return at;
}
