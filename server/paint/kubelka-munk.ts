/**
 * Two-constant Kubelka-Munk theory of a light-scattering layer (Kubelka 1948, J. Opt. Soc. Am. 38, 448).
 *
 * K and S are absorption and scattering per unit of thickness, X is the thickness in the same unit, and every
 * reflectance here is *internal* (0..1, before the surface of the film is taken into account, see surface.ts).
 */

/** K/S of an opaque layer of internal reflectance R. R = 0 gives Infinity. */
export function absorptionOverScattering(reflectance: number): number {
  return ((1 - reflectance) * (1 - reflectance)) / (2 * reflectance);
}

/**
 * Internal reflectance of an opaque layer from K/S.
 * Written as 1/(1 + x + sqrt(x² + 2x)): the textbook form 1 + x - sqrt(x² + 2x) loses all digits at large K/S.
 */
export function opaqueReflectance(absorptionOverScattering: number): number {
  const x = absorptionOverScattering;
  if (x === Number.POSITIVE_INFINITY) return 0;
  return 1 / (1 + x + Math.sqrt(x * x + 2 * x));
}

/** dR/d(K/S) of an opaque layer. The true slope at K/S = 0 is -Infinity; it is kept finite so that 0 times it is 0. */
export function opaqueSlope(absorptionOverScattering: number): number {
  const r = opaqueReflectance(absorptionOverScattering);
  return (-2 * r * r) / (1 - r * r + 1e-12);
}

/**
 * tanh(bSX)/(bS), the only place where the thickness enters. With it the hyperbolic solution has no division by S
 * or by b, so that K = 0, S = 0 and a very thick film need no cases of their own.
 */
function reach(q: number, thickness: number): number {
  const z2 = q * thickness * thickness;
  if (z2 < 1e-8) return thickness * (1 - z2 / 3);
  const root = Math.sqrt(q);
  return Math.tanh(root * thickness) / root;
}

/** Internal reflectance of a film of thickness X over a background of internal reflectance Rg. */
export function filmReflectance(k: number, s: number, thickness: number, background: number): number {
  if (!Number.isFinite(thickness)) return s === 0 ? (k === 0 ? background : 0) : opaqueReflectance(k / s);
  const u = reach(k * (k + 2 * s), thickness);
  return ((s - (k + s) * background) * u + background) / ((k + s - s * background) * u + 1);
}

/** Transmittance of a free film of thickness X (internal, without its surfaces). */
export function filmTransmittance(k: number, s: number, thickness: number): number {
  const q = k * (k + 2 * s);
  // 1/cosh underflows to 0 for a thick film, which is its limit.
  return 1 / (Math.cosh(Math.sqrt(q) * thickness) * ((k + s) * reach(q, thickness) + 1));
}

/** Reflectance of a film with its derivatives by K, S and thickness. */
export interface FilmSlopes {
  readonly reflectance: number;
  readonly byK: number;
  readonly byS: number;
  readonly byThickness: number;
}

/** As filmReflectance, with the derivatives that fitting and the ± need. Thickness must be finite. */
export function filmSlopes(k: number, s: number, thickness: number, background: number): FilmSlopes {
  const q = k * (k + 2 * s);
  const u = reach(q, thickness);
  const sech2 = Math.max(1 - q * u * u, 0);
  const z2 = q * thickness * thickness;
  const uByQ = z2 < 1e-4 ? thickness ** 3 * (-1 / 3 + (4 * z2) / 15) : (thickness * sech2 - u) / (2 * q);
  const above = s - (k + s) * background;
  const below = k + s - s * background;
  const denominator = below * u + 1;
  const reflectance = (above * u + background) / denominator;
  const byU = (above - reflectance * below) / denominator;
  return {
    reflectance,
    byK: ((-background - reflectance) * u) / denominator + byU * uByQ * 2 * (k + s),
    byS: ((1 - background) * (1 - reflectance) * u) / denominator + byU * uByQ * 2 * k,
    byThickness: byU * sech2,
  };
}

/**
 * Scattering power S·X of a film from its reflectance over black and its opaque reflectance (both internal):
 * S·X = arcoth((1 - a R0)/(b R0))/b, the relation that ASTM D2805 uses.
 * Errors: RangeError when the film over black is not darker than the opaque layer (it says nothing then).
 */
export function scatteringPower(overBlack: number, opaque: number): number {
  if (!(overBlack > 0 && overBlack < opaque && opaque < 1)) {
    throw new RangeError('the film over black must be darker than the opaque paint, and both between 0 and 1');
  }
  const a = (opaque + 1 / opaque) / 2;
  const b = a - opaque;
  return Math.atanh((b * overBlack) / (1 - a * overBlack)) / b;
}
