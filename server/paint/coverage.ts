import { one, type Rational, rational, zero } from '../exact/rational.ts';

/** What is to be covered, and how. */
export interface Job {
  /** m2 that get the full film. */
  readonly area: Rational;
  /** m2 into which the colour is faded out. */
  readonly blendArea?: Rational;
  /** The share of the full film that the blended area gets on average; common practice: about half. */
  readonly blendShare?: Rational;
  readonly coats: Rational;
  /** Dry film of one coat in um. */
  readonly filmPerCoat: Rational;
  /** Volume solids of what is sprayed, 0..1. */
  readonly volumeSolids: Rational;
  /** The share of the sprayed solids that ends on the part, 0..1. */
  readonly transferEfficiency: Rational;
  /** ml that stay in gun, cup and strainer whatever is sprayed. */
  readonly fixedLoss?: Rational;
}

/**
 * What to begin with when the book states nothing. No figure here is a truth: authorities give 20 to 70 % for transfer
 * efficiency, by gun and by hand (EPA 744-F-00-003 60 to 70 % with low pressure; trainers rarely measure above 50 %).
 */
export const usual = {
  /** Common practice between the two authorities. */
  transferEfficiency: rational('0.60'),
  /** Common practice. */
  blendShare: rational('0.5'),
  /** Common practice: 20 to 50 ml. */
  fixedLoss: rational(30),
} as const;

/** Dry films in um, as ranges from common practice; a data sheet decides. */
export const usualFilms = {
  surfacer: [50, 120],
  sealer: [15, 30],
  'solid base coat': [15, 30],
  'effect base coat': [10, 20],
  'clear coat': [40, 65],
} as const;

/** m2 that a litre covers at a dry film in um, with nothing lost: 1000 x volume solids / film. */
export function theoreticalCoverage(volumeSolids: Rational, film: Rational): Rational {
  return volumeSolids.mul(1000).div(aboveZero(film, 'the film'));
}

/** Millilitres of ready paint that a job takes. @throws RangeError when a figure makes no sense, saying which. */
export function volumeNeeded(job: Job): Rational {
  const blended = (job.blendArea ?? zero).mul(job.blendShare ?? usual.blendShare);
  const dryMillilitres = job.area.add(blended).mul(job.coats).mul(aboveZero(job.filmPerCoat, 'the film'));
  const kept = share(job.volumeSolids, 'volume solids').mul(share(job.transferEfficiency, 'transfer efficiency'));
  return dryMillilitres.div(kept).add(job.fixedLoss ?? zero);
}

/** The area in m2 that a volume in ml covers under the same conditions: the inverse of `volumeNeeded` without blending. */
export function areaCovered(millilitres: Rational, job: Omit<Job, 'area' | 'blendArea' | 'blendShare'>): Rational {
  const sprayed = millilitres.sub(job.fixedLoss ?? zero);
  if (sprayed.lte(0)) return zero;
  const dry = sprayed
    .mul(share(job.volumeSolids, 'volume solids'))
    .mul(share(job.transferEfficiency, 'transfer efficiency'));
  return dry.div(aboveZero(job.filmPerCoat.mul(job.coats), 'the film'));
}

/**
 * The wet film in um that dries to a dry film.
 * @param thinnedBy reducer added, as a share of the paint's volume; `volumeSolids` is then that of the paint before it.
 */
export function wetFilm(dryFilm: Rational, volumeSolids: Rational, thinnedBy: Rational = zero): Rational {
  return dryFilm.mul(one.add(thinnedBy)).div(share(volumeSolids, 'volume solids'));
}

/** The dry film in um that a wet film leaves. */
export function dryFilm(wet: Rational, volumeSolids: Rational, thinnedBy: Rational = zero): Rational {
  return wet.mul(share(volumeSolids, 'volume solids')).div(one.add(thinnedBy));
}

/**
 * Volume solids, 0..1, from solids by mass: what is volatile is taken to leave its own volume behind.
 * ISO 23811:2009, since 2015 ISO 3233-3 (formula from memory); not for paints above the critical pigment volume concentration.
 * @param density of the paint, @param volatileDensity of what leaves it, both g/ml.
 */
export function volumeSolidsFromMass(massSolids: Rational, density: Rational, volatileDensity: Rational): Rational {
  const left = one.sub(one.sub(massSolids).mul(density).div(volatileDensity));
  if (left.lte(0)) throw new RangeError('by these densities nothing would be left of the film');
  return left;
}

/** Dry film in um from the mass that a card gained: a base coat is too thin for a gauge, so the card is weighed. */
export function filmFromMass(dryGrams: Rational, area: Rational, dryDensity: Rational): Rational {
  return dryGrams.div(aboveZero(area, 'the area')).div(dryDensity);
}

function aboveZero(value: Rational, name: string): Rational {
  if (value.lte(0)) throw new RangeError(`${name} must be above zero`);
  return value;
}

function share(value: Rational, name: string): Rational {
  if (value.lte(0) || value.gt(1)) throw new RangeError(`${name} must lie between 0 and 100 %`);
  return value;
}
