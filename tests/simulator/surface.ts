/**
 * The smooth surface of the paint and the measuring angles, by ray optics.
 * Directions are unit vectors with z pointing out of the paint; light comes in along (+x, 0, -z), so +x is the gloss side.
 */
export type Direction = readonly [x: number, y: number, z: number];

/** Light from 45 degrees; angle of view from the normal in degrees, positive on the gloss side (ASTM E2194, E2539). */
export const views = { '45as-15': 60, '45as15': 30, '45as25': 20, '45as45': 0, '45as75': -30, '45as110': -65 } as const;
export type Geometry = keyof typeof views;
export const geometries = Object.keys(views) as Geometry[];

const degree = Math.PI / 180;

/** Unpolarised Fresnel reflectance at a boundary, from the cosine of incidence; 1 where all is reflected. */
export function fresnel(cosine: number, indexIn: number, indexOut: number): number {
  const sineOut = (indexIn / indexOut) * Math.sqrt(Math.max(0, 1 - cosine * cosine));
  if (sineOut >= 1) return 1;
  const cosineOut = Math.sqrt(1 - sineOut * sineOut);
  const across = (indexIn * cosine - indexOut * cosineOut) / (indexIn * cosine + indexOut * cosineOut);
  const along = (indexOut * cosine - indexIn * cosineOut) / (indexOut * cosine + indexIn * cosineOut);
  return (across * across + along * along) / 2;
}

/** A direction outside, carried through the flat surface into paint of refractive index `index` (Snell). */
export function refractIn([x, y, z]: Direction, index: number): Direction {
  const innerX = x / index;
  const innerY = y / index;
  return [innerX, innerY, Math.sign(z) * Math.sqrt(1 - innerX * innerX - innerY * innerY)];
}

/** The light of every measuring angle: 45 degrees from the normal, outside the paint. */
export const light: Direction = [Math.SQRT1_2, 0, -Math.SQRT1_2];

/**
 * Directions spread evenly over a round aperture of `halfAngle` degrees about an angle of view (outside the paint).
 * A sunflower arrangement: equal areas, no rows.
 */
export function aperture(viewDegrees: number, halfAngle: number, count: number): Direction[] {
  const view = viewDegrees * degree;
  const golden = Math.PI * (3 - Math.sqrt(5));
  return Array.from({ length: count }, (_, i) => {
    const off = halfAngle * degree * Math.sqrt((i + 0.5) / count);
    const inPlane = Math.sin(off) * Math.cos(i * golden);
    const ahead = Math.cos(off);
    return [
      ahead * Math.sin(view) + inPlane * Math.cos(view),
      Math.sin(off) * Math.sin(i * golden),
      ahead * Math.cos(view) - inPlane * Math.sin(view),
    ] as const;
  });
}
