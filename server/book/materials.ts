/** What the liquids of a mix are made of: their densities, solids, water and price, those of a let-down from what is in it. */
import { one, type Rational, rational, sum, Total, zero } from '../exact/rational.ts';
import { volumeSolidsFromMass } from '../paint/coverage.ts';
import { organicShare, organicShareOfStated, type VolatileLiquid, waterAt20C } from '../paint/voc.ts';
import type { Liquid } from '../paint/volume.ts';
import type { Amount, Part } from '../paint/weights.ts';
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { Material, Toner } from './entries/toner.ts';
import { tonerIn } from './known.ts';

/** A toner with its figures; those that a let-down does not state itself are computed from its toner lines. */
export function materialNamed(book: Book, code: string): Toner | undefined {
  const cell = book.find('toner', code);
  return cell && materialIn(book, cell);
}

function materialIn(book: Book, cell: EntryCell): Toner {
  return book
    .fact(
      'material',
      cell,
      () => compute(book, tonerIn(book, cell)),
      () => tonerIn(book, cell),
    )
    .get();
}

function compute(book: Book, toner: Toner): Toner {
  return { ...toner, ...mixedOf(book, toner, toner.madeOf) };
}

type Figures = Omit<Material, 'code' | 'name' | 'system'>;

/** The figures of a mixture of toners: those that it states itself, the others computed where every part of it has them. */
export function mixedOf(book: Book, stated: Figures, madeOf: readonly Part[]): Figures {
  const parts = madeOf
    .filter((part) => part.parts.gt(0))
    .map(({ code, parts }) => ({ parts, of: materialNamed(book, code) }));
  if (parts.length === 0) return stated;
  const whole = sum(parts.map((part) => part.parts));
  const mean = (figure: (of: Material) => Rational | undefined): Rational | undefined => {
    const all = parts.map((part) => part.of && figure(part.of)?.mul(part.parts));
    return all.every((found) => found !== undefined) ? sum(all).div(whole) : undefined;
  };
  const some = (has: (of: Material) => unknown) => parts.some((part) => part.of && has(part.of) !== undefined);
  const density = stated.density ?? mean((of) => of.density?.inverse())?.inverse();
  const solids = mean((of) => (of.solids?.by === 'weight' ? of.solids.share : undefined));
  const exempt = some((of) => of.exempt) ? mean((of) => of.exempt ?? zero) : undefined;
  const waterless = !some((of) => of.water);
  const organic = some((of) => of.voc) ? mean((of) => organicIn(of, waterless)) : undefined;
  const price = mean((of) => of.price?.perGram);
  const currencies = new Set(parts.map((part) => part.of?.price?.currency));
  const currency = currencies.size === 1 ? [...currencies][0] : undefined;
  return {
    density,
    solids: stated.solids ?? (solids && { share: solids, by: 'weight' }),
    water: stated.water ?? mean((of) => of.water),
    exempt: stated.exempt ?? exempt,
    exemptDensity: stated.exemptDensity ?? (exempt?.gt(0) ? exemptDensityIn(mean, exempt) : undefined),
    voc: stated.voc ?? (organic && density?.mul(organic)),
    price: stated.price ?? (price && currency ? { perGram: price, currency } : undefined),
  };
}

/** The organic share of a liquid's mass, where it can be told. */
function organicIn(of: Material, waterless: boolean): Rational | undefined {
  if (of.voc) return of.density && organicShareOfStated(of.voc.mul(1000), of.density);
  return of.solids && (waterless || of.water !== undefined) && volatileOrNothing(of)
    ? organicShare(of.solids.share, of.water ?? zero, of.exempt)
    : undefined;
}

/** Exempt solvents of several densities together: their volumes are added. */
const exemptDensityIn = (
  mean: (figure: (of: Material) => Rational | undefined) => Rational | undefined,
  exempt: Rational,
): Rational | undefined => {
  const volume = mean((of) => (of.exempt ?? zero).div(of.exemptDensity ?? ACETONE));
  return volume?.gt(0) ? exempt.div(volume) : undefined;
};

/** Figures that a toner does not state and that something cannot be computed without. */
export interface Lacking {
  readonly code: string;
  readonly lacks: readonly ('entry' | 'density' | 'solids' | 'water')[];
}

export const lackingText = ({ code, lacks }: Lacking): string =>
  `${code}: ${lacks.map((lack) => (lack === 'entry' ? 'no such toner in the book' : `no ${lack}`)).join(', ')}`;

export interface Known<T> {
  readonly liquids: readonly T[];
  readonly missing: readonly Lacking[];
}

/** Materials that are no toners of the book, by the codes that they have in a list of amounts. */
export type MaterialsByCode = ReadonlyMap<string, Material>;

/** The liquids of a mix with their densities; where one is missing the list of liquids is not the whole mix. */
export function liquidsOf(book: Book, amounts: readonly Amount[], own?: MaterialsByCode): Known<Liquid> {
  const missing: Lacking[] = [];
  const liquids: Liquid[] = [];
  for (const { code, grams } of amounts) {
    const material = own?.get(code) ?? materialNamed(book, code);
    if (material?.density) liquids.push({ code, grams, density: material.density });
    else missing.push({ code, lacks: [material ? 'density' : 'entry'] });
  }
  return { liquids, missing };
}

export interface Volatiles extends Known<VolatileLiquid> {
  /** No liquid of the mix states its water, so none is taken to be in it: all that leaves is counted as VOC. */
  readonly waterless: boolean;
}

/** The liquids with what leaves them. */
export function volatilesOf(book: Book, amounts: readonly Amount[], own?: MaterialsByCode): Volatiles {
  const materials = amounts.map(({ code, grams }) => ({
    code,
    grams,
    is: own?.get(code) ?? materialNamed(book, code),
  }));
  const waterless = materials.every(({ is }) => is?.water === undefined);
  const missing: Lacking[] = [];
  const liquids: VolatileLiquid[] = [];
  for (const { code, grams, is } of materials) {
    const lacks = lackingIn(is, waterless);
    if (lacks.length > 0 || !is) missing.push({ code, lacks });
    else liquids.push({ code, grams, density: is.density!, ...volatileShares(is) });
  }
  return { liquids, missing, waterless };
}

function lackingIn(is: Material | undefined, waterless: boolean): Lacking['lacks'] {
  if (!is) return ['entry'];
  const stated = is.voc !== undefined;
  return [
    ...(is.density ? [] : ['density' as const]),
    ...(stated || (is.solids && volatileOrNothing(is)) ? [] : ['solids' as const]),
    ...(is.water !== undefined || waterless ? [] : ['water' as const]),
  ];
}

const volatileOrNothing = (is: Material): boolean => {
  if (is.solids?.by !== 'weight') return false;
  const left = is.solids.share.add(is.water ?? zero).add(is.exempt ?? zero);
  return left.lte(1);
};

function volatileShares(is: Material): Pick<VolatileLiquid, 'organic' | 'water' | 'exempt' | 'exemptDensity'> {
  const water = is.water ?? zero;
  const exempt = is.exempt ?? zero;
  return {
    organic: is.voc
      ? organicShareOfStated(is.voc.mul(1000), is.density!)
      : organicShare(is.solids!.share, water, exempt),
    water,
    ...(exempt.gt(0) ? { exempt, exemptDensity: is.exemptDensity ?? ACETONE } : {}),
  };
}

/** g/ml at 20 C (from memory); the exempt solvent that a paint is likely to hold, where the book states no density of its own. */
const ACETONE = rational('0.79');

/** The density that what leaves a paint is taken to have where only solids by weight are stated: between water and a thinner. */
const SOLVENT = rational('0.88');

/**
 * Volume solids of a mix, 0..1: as stated by volume, else by ISO 3233-3 from the solids by weight, with water at its own density and the
 * rest of what leaves at 0.88 g/ml (common practice).
 */
export function volumeSolidsOf(
  book: Book,
  amounts: readonly Amount[],
  own?: MaterialsByCode,
): { share: Rational } | { missing: Lacking[] } {
  const missing: Lacking[] = [];
  let [solid, volume] = [zero, zero];
  for (const { code, grams } of amounts) {
    const is = own?.get(code) ?? materialNamed(book, code);
    const share = is && solidShare(is);
    if (!is?.density || !share) {
      missing.push({ code, lacks: [!is ? 'entry' : is.density ? 'solids' : 'density'] });
      continue;
    }
    const millilitres = grams.div(is.density);
    volume = volume.add(millilitres);
    solid = solid.add(millilitres.mul(share));
  }
  return missing.length > 0 || volume.lte(0) ? { missing } : { share: solid.div(volume) };
}

function solidShare({ solids, density, water = zero }: Material): Rational | undefined {
  if (!solids || !density) return undefined;
  if (solids.by === 'volume' || solids.share.lte(0)) return solids.share;
  const leaving = one.sub(solids.share);
  if (leaving.lte(0)) return one;
  if (water.gt(leaving)) return undefined;
  const leavingVolume = water.div(waterAt20C).add(leaving.sub(water).div(SOLVENT));
  try {
    return volumeSolidsFromMass(solids.share, density, leaving.div(leavingVolume));
  } catch {
    return undefined;
  }
}

/** Money by currency that a mix costs, and the toners without a price. */
export function costsOf(
  book: Book,
  amounts: readonly Amount[],
  own?: MaterialsByCode,
): { money: ReadonlyMap<string, Rational>; unpriced: readonly string[] } {
  const totals = new Map<string, Total>();
  const unpriced: string[] = [];
  for (const { code, grams } of amounts) {
    const price = (own?.get(code) ?? materialNamed(book, code))?.price;
    if (!price) {
      unpriced.push(code);
      continue;
    }
    const total = totals.get(price.currency) ?? new Total();
    total.addProduct(price.perGram, grams);
    totals.set(price.currency, total);
  }
  return { money: new Map([...totals].map(([currency, total]) => [currency, total.value])), unpriced };
}

/** The amounts of several lists together, each toner once. */
export function together(...lists: readonly (readonly Amount[])[]): Amount[] {
  const byCode = new Map<string, Rational>();
  for (const { code, grams } of lists.flat()) byCode.set(code, (byCode.get(code) ?? zero).add(grams));
  return [...byCode].map(([code, grams]) => ({ code, grams }));
}
