/**
 * The Munsell neutral scale (N0 black to N10 white) by the value function of ASTM D1535-08, which refers the
 * luminance factor to the perfect diffuser (Y = 100 at N10), and its relation to CIE L*.
 */

/** Coefficients of V, V² … V⁵ (ASTM D1535-08; from memory, held against colour-science's table in the tests). */
const valueFunction = [1.1914, -0.22533, 0.23352, -0.020484, 0.00081939] as const;

/** Luminance factor Y (0..100) of a neutral of Munsell value V (0..10). */
export function luminanceOfValue(value: number): number {
  return valueFunction.reduceRight((sum, coefficient) => (sum + coefficient) * value, 0);
}

/** Munsell value of a neutral of luminance factor Y (0..100). Errors: RangeError outside 0..100. */
export function valueOfLuminance(luminance: number): number {
  if (!(luminance >= 0 && luminance <= 100)) {
    throw new RangeError(`a luminance factor lies between 0 and 100, not ${luminance}`);
  }
  // The polynomial rises everywhere on 0..10, so bisection cannot miss.
  let low = 0;
  let high = 10;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (luminanceOfValue(middle) < luminance) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** L* of a luminance factor Y (0..100), CIE 015. */
export function lightnessOfLuminance(luminance: number): number {
  const y = luminance / 100;
  return y > (6 / 29) ** 3 ? 116 * Math.cbrt(y) - 16 : (29 / 3) ** 3 * y;
}

/** Luminance factor Y (0..100) of an L* (0..100), CIE 015. */
export function luminanceOfLightness(lightness: number): number {
  return lightness > 8 ? 100 * ((lightness + 16) / 116) ** 3 : (100 * lightness) / (29 / 3) ** 3;
}

/** L* of a neutral of Munsell value V. */
export function lightnessOfValue(value: number): number {
  return lightnessOfLuminance(luminanceOfValue(value));
}

/** Munsell value of a neutral of lightness L*. Errors: RangeError outside 0..100. */
export function valueOfLightness(lightness: number): number {
  return valueOfLuminance(luminanceOfLightness(lightness));
}
