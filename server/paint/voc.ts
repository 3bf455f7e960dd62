import { one, type Rational, rational, sum, zero } from '../exact/rational.ts';
import { type Liquid, volumeOfMix } from './volume.ts';

/**
 * Volatile organic compounds (VOC) of what is sprayed, and the limits that two laws set.
 * All of it is arithmetic on what the book states; it clears nobody to spray anything.
 */

/** A liquid of the mix and what it is made of, as shares of its mass. */
export interface VolatileLiquid extends Liquid {
  /** Organic volatiles that no law exempts, 0..1. */
  readonly organic: Rational;
  readonly water: Rational;
  /** Volatiles that US law exempts (such as acetone) and EU law counts, 0..1. */
  readonly exempt?: Rational;
  /** g/ml of the exempt volatiles; needed where there are any. */
  readonly exemptDensity?: Rational;
}

/** The organic share of a liquid from its solids, water and exempt shares. @throws RangeError when they exceed the whole. */
export function organicShare(solids: Rational, water: Rational, exempt: Rational = zero): Rational {
  const organic = one.sub(solids).sub(water).sub(exempt);
  if (organic.lt(0)) throw new RangeError('solids, water and exempt volatiles are more than 100 %');
  return organic;
}

/** The organic share of a liquid whose data sheet states grams of VOC per litre of it. */
export function organicShareOfStated(gramsPerLitre: Rational, density: Rational): Rational {
  return gramsPerLitre.div(1000).div(density);
}

/** Grams of VOC per litre, counted in three ways. */
export interface VocContent {
  /** Per litre of everything that is in the cup. */
  readonly actual: Rational;
  /** Per litre without its water; undefined when nothing but water is in the cup. */
  readonly lessWater: Rational | undefined;
  /** Per litre without its water and its exempt volatiles. */
  readonly lessWaterAndExempt: Rational | undefined;
}

/** What a regulation fixes about the arithmetic. */
export interface VocCounting {
  /** g/ml. */
  readonly waterDensity: Rational;
  /** Whether the compounds that US law exempts count as VOC. */
  readonly exemptCounts: boolean;
}

/**
 * The VOC content of a mix as it is sprayed: the mass of organic volatiles over the volume, with water, and water and
 * exempt compounds, left out of the volume. The three are methods 2, 3 and 4 of ISO 11890-2, and
 * `(Wv - Ww - Wec) / (V - Vw - Vec)` of 40 CFR 59.104(a)(1) is the last. Where exempt compounds count, they stay in the
 * mass and in the volume.
 */
export function vocContent(mix: readonly VolatileLiquid[], counting: VocCounting): VocContent {
  const volume = volumeOfMix(mix);
  if (volume.lte(0)) throw new RangeError('there is nothing in the mix');
  const waterless = volume.sub(sum(mix.map(({ grams, water }) => grams.mul(water))).div(counting.waterDensity));
  const exemptVolume = counting.exemptCounts ? zero : sum(mix.map(volumeOfExempt));
  const grams = sum(mix.map((liquid) => liquid.grams.mul(countedShare(liquid, counting))));
  const per = (millilitres: Rational) => (millilitres.gt(0) ? grams.div(millilitres).mul(1000) : undefined);
  return {
    actual: grams.div(volume).mul(1000),
    lessWater: per(waterless),
    lessWaterAndExempt: per(waterless.sub(exemptVolume)),
  };
}

function countedShare({ organic, exempt }: VolatileLiquid, { exemptCounts }: VocCounting): Rational {
  return exemptCounts && exempt ? organic.add(exempt) : organic;
}

function volumeOfExempt({ code, grams, exempt, exemptDensity }: VolatileLiquid): Rational {
  if (!exempt || exempt.equals(0)) return zero;
  if (!exemptDensity) throw new RangeError(`the density of the exempt volatiles of ${code} is not known`);
  return grams.mul(exempt).div(exemptDensity);
}

/**
 * The VOC content of a topcoat of several stages: the base coat once, every mid coat once however often it is sprayed, the clear coat
 * twice. 40 CFR 59.104(a)(2); its weights are from memory, see `us40cfr59`. With no mid coat it is (base + 2 clear) / 3.
 */
export function multiStageVoc(base: Rational, midCoats: readonly Rational[], clear: Rational): Rational {
  return sum([base, ...midCoats, clear.mul(2)]).div(midCoats.length + 3);
}

/** Which of the three figures a limit is for. */
export type VocFigure = keyof VocContent;

export const vocFigureWords: Readonly<Record<VocFigure, string>> = {
  actual: 'actual',
  lessWater: 'less water',
  lessWaterAndExempt: 'less water and exempt',
};

export interface VocLimit {
  readonly id: string;
  readonly name: string;
  /** g/l of the product ready for use. */
  readonly limit: Rational;
  readonly figure: VocFigure;
  /** The regulation's own rounding in pounds per US gallon: for information, never computed from `limit`. */
  readonly poundsPerGallon?: Rational;
  /** The coats of a topcoat count as one coating: always, or where the book says that a clear coat goes over it. */
  readonly staged?: 'always' | 'with a clear coat';
  /** Why this row still has to be looked up before one leans on it. */
  readonly confirm?: string;
}

export interface VocRegime extends VocCounting {
  readonly id: string;
  readonly name: string;
  /** The day on which the table was gathered: limits change. */
  readonly asOf: string;
  readonly source: string;
  readonly confirm?: string;
  /** The category that an undercoat mixed to a grey falls under, unless the book says otherwise. */
  readonly undercoat: string;
  readonly limits: readonly VocLimit[];
}

function limit(id: string, name: string, grams: number, figure: VocFigure, rest: Partial<VocLimit> = {}): VocLimit {
  return { id, name, limit: rational(grams), figure, ...rest };
}

function usLimit(
  id: string,
  name: string,
  grams: number,
  poundsPerGallon: string,
  rest: Partial<VocLimit> = {},
): VocLimit {
  return limit(id, name, grams, 'lessWaterAndExempt', { poundsPerGallon: rational(poundsPerGallon), ...rest });
}

/** Density of water at 20 C in g/ml. Sources use 0.995 to 1; the effect on a result stays below one per cent. */
export const waterAt20C = rational('0.9982');

/**
 * Directive 2004/42/EC, Annex II, table B. Water stays in the volume for preparatory products and pre-cleaners and is left
 * out of it for all others; there are no exempt compounds.
 */
export const eu200442: VocRegime = {
  id: 'eu-2004-42',
  name: 'EU Directive 2004/42/EC, Annex II B',
  asOf: '2026-11-25',
  source:
    'Directive 2004/42/EC Annex II table B, by the government summary of its UK transposition (nibusinessinfo.co.uk)',
  waterDensity: waterAt20C,
  exemptCounts: true,
  undercoat: 'surfacer',
  limits: [
    limit('preparatory', 'preparatory product', 850, 'actual'),
    limit('pre-cleaner', 'pre-cleaner', 200, 'actual'),
    limit('bodyfiller', 'body filler or stopper', 250, 'lessWater'),
    limit('surfacer', 'surfacer, filler or general metal primer', 540, 'lessWater'),
    limit('wash-primer', 'wash primer', 780, 'lessWater'),
    limit('topcoat', 'topcoat: base coat, clear coat or single layer', 420, 'lessWater'),
    limit('special', 'special finish', 840, 'lessWater', {
      confirm: 'what counts as a special finish is defined in Annex I; a base coat under a clear coat is a topcoat',
    }),
  ],
};

/**
 * 40 CFR Part 59 Subpart B, Table 1: the national rule. States and districts are stricter.
 *
 * Read: 59.104(a)(1), what is counted, and the terms of 59.104(a)(2) (GPO edition of July 1, 2003); 59.102(b), that a mix for two
 * categories is held against the lower limit (copies of the eCFR of 2026). The edition prints table and equations as pictures, so these
 * were NOT read and have to be confirmed on the eCFR: every figure of the table (rows but the last agree with public second-hand copies,
 * `specialty` is from memory), and the weights of the several stages in `multiStageVoc` (from memory; a Californian district's rule 423
 * has (base + 2 clear) / 3 for two). That a base and its clear are held against 600 g/l as one coating is the definition of a multi-stage
 * topcoat in 59.101, from memory.
 */
export const us40cfr59: VocRegime = {
  id: 'us-40-cfr-59',
  name: 'US 40 CFR Part 59 Subpart B',
  asOf: '2026-11-25',
  source: '40 CFR 59 Subpart B, Table 1 (second-hand), 59.102(b) and 59.104(a)',
  confirm: 'the table was taken from second-hand copies: confirm it on the eCFR; states and districts set lower limits',
  waterDensity: waterAt20C,
  exemptCounts: false,
  // Its sealer: a grey undercoat may be a surfacer or a sealer, and then the lower limit rules (59.102(b)).
  undercoat: 'sealer',
  limits: [
    usLimit('wash-primer', 'pretreatment wash primer', 780, '6.5'),
    usLimit('surfacer', 'primer or primer surfacer', 580, '4.8'),
    usLimit('sealer', 'primer sealer', 550, '4.6'),
    usLimit('topcoat', 'single-stage or two-stage topcoat', 600, '5.0', { staged: 'with a clear coat' }),
    usLimit('multi-stage-topcoat', 'topcoat of more than two stages', 630, '5.2', { staged: 'always' }),
    usLimit('multi-colored-topcoat', 'multi-colored topcoat', 680, '5.7'),
    usLimit('specialty', 'specialty coating', 840, '7.0', {
      confirm: 'this row is from memory: confirm it on the eCFR; states and districts set lower limits',
    }),
  ],
};

export const vocRegimes: readonly VocRegime[] = [eu200442, us40cfr59];

export interface VocJudgement {
  readonly figure: VocFigure;
  /** g/l; undefined when the mix is nothing but water. */
  readonly value: Rational | undefined;
  readonly limit: Rational;
  /** Compared without rounding. */
  readonly within: boolean;
}

/** The figure that a limit is for, beside it. A limit that the book writes for itself is a `VocLimit` like any other. */
export function judgeVoc(content: VocContent, { figure, limit }: VocLimit): VocJudgement {
  const value = content[figure];
  return { figure, value, limit, within: !value || value.lte(limit) };
}

/** When one mix serves two categories of a regulation, the lower limit rules (40 CFR 59.102(b)). */
export function strictest(limits: readonly VocLimit[]): VocLimit | undefined {
  return limits.reduce<VocLimit | undefined>((low, each) => (!low || each.limit.lt(low.limit) ? each : low), undefined);
}
