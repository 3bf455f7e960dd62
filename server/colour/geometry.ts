/** How a reading is lit and seen. Angles in degrees. */
export type Geometry =
  /** `45as15`: lit at 45, seen 15 from the gloss, above 0 towards the light (ASTM E2194, E2539). */
  | { readonly kind: 'aspecular'; readonly illumination: number; readonly aspecular: number }
  /** `45/0`, `0/45`: lit at the first, seen at the second, all round or from one side (ISO 18314-1). */
  | { readonly kind: 'directional'; readonly illumination: number; readonly detection: number }
  /** `d/8`, `8/d`: a sphere, lit or gathering from all round. */
  | { readonly kind: 'sphere'; readonly lit: boolean; readonly angle: number };

/** Where in the play of a flake colour an angle lies: the face near the gloss, the body, the flop far from it (common practice). */
export type Zone = 'face' | 'body' | 'flop';

const ASPECULAR = /^(\d{1,2})as(-?\d{1,3})$/;
const DIRECTIONAL = /^(\d{1,2})\/(\d{1,2})$/;
const SPHERE = /^(?:d\/(\d{1,2})|(\d{1,2})\/d)$/;

/** @throws RangeError that shows how geometries are written. */
export function parseGeometry(text: string): Geometry {
  const geometry = matchAspecular(text) ?? matchDirectional(text) ?? matchSphere(text);
  if (geometry) return geometry;
  throw new RangeError(
    `'${text}' is not a measuring geometry: write 45as15 (lit at 45°, 15° from the gloss), 45as-15, 45/0 or d/8.`,
  );
}

function matchAspecular(text: string): Geometry | undefined {
  const found = ASPECULAR.exec(text);
  if (!found) return undefined;
  const illumination = Number(found[1]);
  const aspecular = Number(found[2]);
  const detector = aspecular - illumination;
  if (illumination > 90 || Math.abs(detector) > 90) return undefined;
  return { kind: 'aspecular', illumination, aspecular: aspecular === 0 ? 0 : aspecular };
}

function matchDirectional(text: string): Geometry | undefined {
  const found = DIRECTIONAL.exec(text);
  if (!found || Number(found[1]) > 90 || Number(found[2]) > 90) return undefined;
  return { kind: 'directional', illumination: Number(found[1]), detection: Number(found[2]) };
}

function matchSphere(text: string): Geometry | undefined {
  const found = SPHERE.exec(text);
  const angle = Number(found?.[1] ?? found?.[2]);
  if (!found || angle > 90) return undefined;
  return { kind: 'sphere', lit: found[1] !== undefined, angle };
}

/** The one way it is written; parseGeometry reads it back. */
export function geometryText(geometry: Geometry): string {
  if (geometry.kind === 'aspecular') return `${geometry.illumination}as${geometry.aspecular}`;
  if (geometry.kind === 'directional') return `${geometry.illumination}/${geometry.detection}`;
  return geometry.lit ? `d/${geometry.angle}` : `${geometry.angle}/d`;
}

/** In words, for a hover: `lit at 45°, seen 15° from the gloss towards the light (detector at -30°)`. */
export function describeGeometry(geometry: Geometry): string {
  if (geometry.kind === 'sphere')
    return geometry.lit
      ? `lit from all round (sphere), seen at ${geometry.angle}°`
      : `lit at ${geometry.angle}°, all light gathered (sphere)`;
  const light = `lit at ${geometry.illumination}°`;
  if (geometry.kind === 'directional') return `${light}, seen at ${geometry.detection}°`;
  const side = geometry.aspecular < 0 ? 'away from' : 'towards';
  const gloss =
    geometry.aspecular === 0 ? 'in the gloss' : `${Math.abs(geometry.aspecular)}° from the gloss ${side} the light`;
  return `${light}, seen ${gloss} (detector at ${detectorAngle(geometry)}°)`;
}

/** The detector's angle from the normal, above 0 on the side of the light; undefined for a sphere. 45as15 is -30, 45as110 is 65. */
export function detectorAngle(geometry: Geometry): number | undefined {
  if (geometry.kind === 'sphere') return undefined;
  return geometry.kind === 'directional' ? geometry.detection : geometry.aspecular - geometry.illumination;
}

/** The angle from the gloss; undefined for a sphere. 45/0 and 0/45 are 45. */
export function aspecularAngle(geometry: Geometry): number | undefined {
  if (geometry.kind === 'sphere') return undefined;
  return geometry.kind === 'aspecular' ? geometry.aspecular : Math.abs(geometry.detection + geometry.illumination);
}

/** Up to 30° from the gloss, on either side, is face; up to 60° body; beyond, flop. A sphere shows the body. */
export function zoneOf(geometry: Geometry): Zone {
  const angle = Math.abs(aspecularAngle(geometry) ?? 45);
  if (angle <= 30) return 'face';
  return angle <= 60 ? 'body' : 'flop';
}
