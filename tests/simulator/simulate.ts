import { type Film, type Flakes, type Layer, wavelengths } from './film.ts';
import { type PlateTable, plateTable } from './plate.ts';
import { type Random, randomFrom } from './random.ts';
import { aperture, type Direction, fresnel, type Geometry, light, refractIn, views } from './surface.ts';
import { type TiltTable, tiltTable } from './tilt.ts';

/**
 * Paint films by counting rays: a continuum of flakes, pigments and an undercoat under a smooth surface.
 *
 * Each ray carries one weight per wavelength; absorption along its path lowers the weights. Its free path follows from
 * scattering and from the flakes it meets, flake area seen at its own angle. At every event the light that would leave
 * straight towards each detector is added ("next event"), so no ray has to hit a detector. Nothing here knows a closed form of
 * paint optics; it shares no code with the product's own models, which are tested against it.
 */
export interface Simulation {
  /** Reflectance factor per geometry and band (perfect white diffuser = 1; may exceed 1 near the gloss). */
  reflectance: Record<Geometry, Float64Array>;
  /** Standard error of the mean over all bands, per geometry. */
  error: Record<Geometry, number>;
  /** Share of the incident light that leaves through the surface, mean over bands. */
  leaving: number;
}

export interface Settings {
  rays: number;
  seed: number;
  geometries: readonly Geometry[];
  /** Half angle of the detectors' round aperture, degrees. */
  aperture?: number;
}

const directionsPerDetector = 19;
const batches = 16;
const negligible = 1e-7;
const incidenceSteps = 200;
const fewEvents = 6;
const laterLooks = 1 / 8;

/** Follows `rays` rays through the film. Deterministic for one seed. */
export function simulate(film: Film, { rays, seed, geometries, aperture: halfAngle = 4 }: Settings): Simulation {
  const bands = film.undercoat.length;
  const random = randomFrom(seed);
  const layers = film.layers.map(prepareLayer);
  const detectors = geometries.map((geometry) =>
    aperture(views[geometry], halfAngle, directionsPerDetector).map((view) => prepareExit(view, film, layers)),
  );
  const sums = geometries.map(() => new Float64Array(bands));
  const batchMeans = geometries.map(() => new Float64Array(batches));
  const into = refractIn(light, film.index);
  const entering = 1 - fresnel(-light[2], 1, film.index);
  const ray = new Ray(bands);
  let leaving = 0;

  const perBatch = Math.ceil(rays / batches);
  for (let batch = 0; batch < batches; batch++) {
    const before = sums.map(total);
    for (let i = 0; i < perBatch; i++) {
      const exits = detectors.map((choices) => choices[Math.floor(random() * choices.length)]!);
      ray.start(into, entering);
      leaving += follow(ray, film, layers, exits, sums, random);
    }
    sums.forEach((sum, d) => {
      batchMeans[d]![batch] = (total(sum) - before[d]!) / (bands * perBatch);
    });
  }

  const count = perBatch * batches;
  const reflectance = {} as Record<Geometry, Float64Array>;
  const error = {} as Record<Geometry, number>;
  geometries.forEach((geometry, d) => {
    reflectance[geometry] = sums[d]!.map((value) => value / count);
    error[geometry] = standardError(batchMeans[d]!);
  });
  return { reflectance, error, leaving: leaving / count };
}

interface ReadyFlakes {
  flakes: Flakes;
  tilt: TiltTable;
  plate?: PlateTable;
}

interface ReadyLayer {
  layer: Layer;
  top: number;
  bottom: number;
  flakes: ReadyFlakes[];
}

function prepareLayer(layer: Layer, index: number, all: readonly Layer[]): ReadyLayer {
  const top = all.slice(0, index).reduce((sum, { thickness }) => sum + thickness, 0);
  const flakes = layer.flakes.map((flakes) => ({
    flakes,
    tilt: tiltTable(flakes),
    ...('plate' in flakes.mirror && { plate: plateTable(flakes.mirror.plate, wavelengths) }),
  }));
  return { layer, top, bottom: top + layer.thickness, flakes };
}

/** One way out to a detector: direction inside, and what is lost per unit depth in each layer. */
interface Exit {
  direction: Direction;
  /** pi To / (n^2 cos out): turns flux per solid angle inside into reflectance factor. */
  scale: number;
  /** Extinction per unit depth, per layer and band. */
  extinction: Float64Array[];
  /** Extinction through all layers above a layer, per layer and band. */
  above: Float64Array[];
}

function prepareExit(view: Direction, film: Film, layers: readonly ReadyLayer[]): Exit {
  const direction = refractIn(view, film.index);
  const mu = direction[2];
  const scale = (Math.PI * (1 - fresnel(view[2], 1, film.index))) / (film.index ** 2 * mu);
  const extinction = layers.map(({ layer, flakes }) => {
    const lost = layer.absorption.map((value) => value + layer.scattering);
    for (const {
      flakes: { rate, edge },
      tilt,
      plate,
    } of flakes) {
      if (!plate) {
        const seen = tilt.projected(mu);
        for (let k = 0; k < lost.length; k++) lost[k]! += rate * seen;
        continue;
      }
      // A pearl lets light through unturned: only what it throws back is lost to the detector.
      tilt.projectedByIncidence(mu, incidenceSteps).forEach((seen, i) => {
        const incidence = (i + 0.5) / incidenceSteps;
        for (let k = 0; k < lost.length; k++) lost[k]! += rate * seen * (edge + (1 - edge) * plate.at(incidence, k));
      });
    }
    return lost.map((value) => value / mu);
  });
  const above: Float64Array[] = [];
  let sum = new Float64Array(film.undercoat.length);
  layers.forEach(({ layer }, i) => {
    above.push(sum);
    sum = sum.map((value, k) => value + layer.thickness * extinction[i]![k]!);
  });
  above.push(sum);
  return { direction, scale, extinction, above };
}

/** The state of one ray: where it is, where it goes, and what is left of it at each wavelength. */
class Ray {
  readonly weights: Float64Array;
  depth = 0;
  events = 0;
  path = 0;
  x = 0;
  y = 0;
  z = 0;

  constructor(bands: number) {
    this.weights = new Float64Array(bands);
  }

  start(direction: Direction, weight: number) {
    this.depth = 0;
    this.events = 0;
    this.path = 0;
    this.head(direction[0], direction[1], direction[2]);
    this.weights.fill(weight);
  }

  head(x: number, y: number, z: number) {
    this.x = x;
    this.y = y;
    this.z = z;
  }

  /** Takes off what the path since the last look has absorbed. Only looks need weights, so it is done no more often. */
  settle(absorption: Float64Array) {
    if (this.path === 0) return;
    for (let k = 0; k < absorption.length; k++) {
      const loss = absorption[k]! * this.path;
      if (loss > 0) this.weights[k]! *= Math.exp(-loss);
    }
    this.path = 0;
  }
}

const survival = 0.1;

/** Follows one ray to its end; returns what left through the surface, mean over bands. */
function follow(
  ray: Ray,
  film: Film,
  layers: readonly ReadyLayer[],
  exits: readonly Exit[],
  sums: readonly Float64Array[],
  random: Random,
): number {
  let at = 0;
  const normal = new Float64Array(3);
  for (;;) {
    const here = layers[at]!;
    const { layer } = here;
    let rate = layer.scattering;
    for (const { flakes, tilt } of here.flakes) rate += flakes.rate * tilt.projected(ray.z);
    const free = rate > 0 ? -Math.log(1 - random()) / rate : Number.POSITIVE_INFINITY;
    const toEdge = ray.z > 0 ? (ray.depth - here.top) / ray.z : (here.bottom - ray.depth) / Math.abs(ray.z);

    if (free < toEdge) {
      ray.path += free;
      ray.depth -= ray.z * free;
      let pick = random() * rate - layer.scattering;
      if (pick < 0) {
        if (looksNow(ray, random)) {
          ray.settle(layer.absorption);
          if (faded(ray, random)) return 0;
          seeScattered(ray, layer.asymmetry, at, here, exits, sums, random);
        }
        scatter(ray, layer.asymmetry, random);
        continue;
      }
      ray.settle(layer.absorption);
      if (faded(ray, random)) return 0;
      let struck = here.flakes.length - 1;
      for (let j = 0; j < here.flakes.length; j++) {
        pick -= here.flakes[j]!.flakes.rate * here.flakes[j]!.tilt.projected(ray.z);
        if (pick < 0) {
          struck = j;
          break;
        }
      }
      strike(ray, here.flakes[struck]!, at, here, exits, sums, random, normal);
      continue;
    }

    ray.path += toEdge;
    ray.settle(layer.absorption);
    if (ray.z > 0) {
      ray.depth = here.top;
      if (at > 0) {
        at--;
        continue;
      }
      const back = fresnel(ray.z, film.index, 1);
      // Little is thrown back inside: most rays end here, and the few that go on carry the rest.
      if (random() >= back) return total(ray.weights) / ray.weights.length;
      ray.head(ray.x, ray.y, -ray.z);
    } else {
      ray.depth = here.bottom;
      if (at < layers.length - 1) {
        at++;
        continue;
      }
      for (let k = 0; k < ray.weights.length; k++) ray.weights[k]! *= film.undercoat[k]!;
      if (faded(ray, random)) return 0;
      exits.forEach((exit, d) => {
        const factor = (exit.scale * exit.direction[2]) / Math.PI;
        const through = exit.above[layers.length]!;
        const sum = sums[d]!;
        for (let k = 0; k < sum.length; k++) sum[k]! += ray.weights[k]! * factor * Math.exp(-through[k]!);
      });
      turnUp(ray, Math.sqrt(1 - random()), random);
    }
  }
}

/** Ends faint rays by chance; those that stay carry the weight of those that went, so no light is lost on average. */
function faded(ray: Ray, random: Random): boolean {
  const { weights } = ray;
  let most = 0;
  for (let k = 0; k < weights.length; k++) if (weights[k]! > most) most = weights[k]!;
  if (most <= 0) return true;
  if (most > 0.02) return false;
  if (random() > survival) return true;
  for (let k = 0; k < weights.length; k++) weights[k]! /= survival;
  return false;
}

/** Adds what goes straight from here to a detector, at `flux` per steradian and unit weight. */
function add(ray: Ray, flux: number, exit: Exit, at: number, here: ReadyLayer, sum: Float64Array, tint?: Tint) {
  if (flux < negligible) return;
  const factor = flux * exit.scale;
  const above = exit.above[at]!;
  const extinction = exit.extinction[at]!;
  const depth = ray.depth - here.top;
  for (let k = 0; k < sum.length; k++) {
    const gain = ray.weights[k]! * factor * Math.exp(-above[k]! - extinction[k]! * depth);
    sum[k]! += tint ? gain * tint(k) : gain;
  }
}

type Tint = (band: number) => number;

/**
 * In white paint a ray scatters hundreds of times. After the first few, one event in eight is looked at, by one detector at
 * random, for all the others: the mean stays the same and time goes into more rays.
 */
const looksNow = (ray: Ray, random: Random) => ++ray.events <= fewEvents || random() < laterLooks;

function seeScattered(
  ray: Ray,
  g: number,
  at: number,
  here: ReadyLayer,
  exits: readonly Exit[],
  sums: readonly Float64Array[],
  random: Random,
) {
  const look = (d: number, times: number) => {
    const exit = exits[d]!;
    const [x, y, z] = exit.direction;
    const cosine = x * ray.x + y * ray.y + z * ray.z;
    const flux = (1 - g * g) / (4 * Math.PI * (1 + g * g - 2 * g * cosine) ** 1.5);
    add(ray, times * flux, exit, at, here, sums[d]!);
  };
  if (ray.events <= fewEvents) for (let d = 0; d < exits.length; d++) look(d, 1);
  else if (exits.length > 0) look(Math.floor(random() * exits.length), exits.length / laterLooks);
}

/** A new direction by Henyey and Greenstein (1941). */
function scatter(ray: Ray, g: number, random: Random) {
  const u = random();
  const cosine = g === 0 ? 2 * u - 1 : (1 + g * g - ((1 - g * g) / (1 - g + 2 * g * u)) ** 2) / (2 * g);
  turn(ray, cosine, 2 * Math.PI * random());
}

function strike(
  ray: Ray,
  { flakes, tilt, plate }: ReadyFlakes,
  at: number,
  here: ReadyLayer,
  exits: readonly Exit[],
  sums: readonly Float64Array[],
  random: Random,
  normal: Float64Array,
) {
  const metal = 'reflectance' in flakes.mirror ? flakes.mirror.reflectance : undefined;
  if (metal) for (let k = 0; k < metal.length; k++) ray.weights[k]! *= metal[k]!;

  if (random() < flakes.edge) {
    exits.forEach((exit, d) => {
      add(ray, 1 / (4 * Math.PI), exit, at, here, sums[d]!);
    });
    turn(ray, 2 * random() - 1, 2 * Math.PI * random());
    return;
  }

  const seen = tilt.projected(ray.z);
  exits.forEach((exit, d) => {
    // The flake that mirrors into the detector lies half way between; each normal turns light by twice its tilt, hence 1/4.
    const hx = exit.direction[0] - ray.x;
    const hy = exit.direction[1] - ray.y;
    const hz = exit.direction[2] - ray.z;
    const length = Math.sqrt(hx * hx + hy * hy + hz * hz);
    const flux = tilt.density(hz / length) / (4 * seen);
    const incidence = Math.min(1, length / 2);
    add(ray, flux, exit, at, here, sums[d]!, plate && ((k) => plate.at(incidence, k)));
  });
  tilt.hit([ray.x, ray.y, ray.z], random, normal);
  const across = ray.x * normal[0]! + ray.y * normal[1]! + ray.z * normal[2]!;
  if (plate) {
    const incidence = Math.min(1, Math.abs(across));
    const back = Math.min(0.9, Math.max(0.1, plate.mean(incidence)));
    const thrown = random() < back;
    for (let k = 0; k < ray.weights.length; k++) {
      const share = plate.at(incidence, k);
      ray.weights[k]! *= thrown ? share / back : (1 - share) / (1 - back);
    }
    if (!thrown) return;
  }
  ray.head(ray.x - 2 * across * normal[0]!, ray.y - 2 * across * normal[1]!, ray.z - 2 * across * normal[2]!);
}

/** Turns the ray by an angle (its cosine) about its own direction. */
function turn(ray: Ray, cosine: number, azimuth: number) {
  const sine = Math.sqrt(Math.max(0, 1 - cosine * cosine));
  const a = sine * Math.cos(azimuth);
  const b = sine * Math.sin(azimuth);
  const { x, y, z } = ray;
  const flat = Math.sqrt(x * x + y * y);
  if (flat < 1e-9) {
    ray.head(a, b, Math.sign(z) * cosine);
    return;
  }
  const nx = cosine * x + (a * x * z - b * y) / flat;
  const ny = cosine * y + (a * y * z + b * x) / flat;
  const nz = cosine * z - a * flat;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  ray.head(nx / length, ny / length, nz / length);
}

function turnUp(ray: Ray, z: number, random: Random) {
  const sine = Math.sqrt(1 - z * z);
  const azimuth = 2 * Math.PI * random();
  ray.head(sine * Math.cos(azimuth), sine * Math.sin(azimuth), z);
}

function total(values: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < values.length; k++) sum += values[k]!;
  return sum;
}

function standardError(means: Float64Array): number {
  const mean = total(means) / means.length;
  const variance = means.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (means.length - 1);
  return Math.sqrt(variance / means.length);
}
