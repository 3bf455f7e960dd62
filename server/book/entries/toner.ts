/** Toners, let-downs and undercoats: what is on the shelf. */

import { type Entry, type Line, lineOf, linesOf, text, value } from '../../../grammar/tree.ts';
import { convert } from '../../exact/quantity.ts';
import type { Rational } from '../../exact/rational.ts';
import { unit } from '../../exact/units.ts';
import { type Film, filmIn } from './system.ts';
import { baseIn, exact, type Grey, greyIn, quantityIn } from './written.ts';

export interface Lot {
  readonly lot: string;
  /** Against the standard lot; 1 is the same. */
  readonly strength: Rational | undefined;
  readonly opened: string | undefined;
  readonly stock: { readonly grams?: Rational; readonly millilitres?: Rational } | undefined;
}

export interface Material {
  readonly code: string;
  readonly name: string;
  readonly system: string | undefined;
  /** g/ml. */
  readonly density: Rational | undefined;
  readonly solids: { readonly share: Rational; readonly by: 'weight' | 'volume' } | undefined;
  /** Shares by weight. */
  readonly water: Rational | undefined;
  readonly exempt: Rational | undefined;
  readonly exemptDensity: Rational | undefined;
  /** By the data sheet, g/ml of the product. */
  readonly voc: Rational | undefined;
  /** Money per gram (needs the density where it is sold by volume). */
  readonly price: { readonly perGram: Rational; readonly currency: string } | undefined;
}

export interface Toner extends Material {
  readonly kind: string | undefined;
  readonly lots: readonly Lot[];
  /** A let-down: what it is thinned from and made of. */
  readonly letdownOf: string | undefined;
  readonly madeOf: readonly { readonly code: string; readonly parts: Rational }[];
  readonly absorption: StatedCurve | undefined;
  readonly scattering: StatedCurve | undefined;
}

export interface StatedCurve {
  readonly start: number;
  readonly step: number;
  readonly values: Float64Array;
}

export interface UndercoatStep {
  readonly grey: Grey;
  readonly toners: readonly { readonly code: string; readonly parts: Rational }[];
  readonly line: Line;
}

export interface Undercoat extends Material {
  readonly steps: readonly UndercoatStep[];
  readonly coats: string | undefined;
  readonly film: Film | undefined;
  readonly recoat: { readonly after: string; readonly within: string | undefined } | undefined;
}

export function readToner(entry: Entry): Toner {
  return {
    ...readMaterial(entry),
    kind: text(lineOf(entry, 'kind'), 'kind'),
    lots: linesOf(entry, 'lot').map(readLot),
    letdownOf: text(entry.head, 'toner'),
    madeOf: linesOf(entry, 'toner').flatMap((line) => {
      const parts = exact(value(line, 'parts'));
      const code = text(line, 'toner');
      return parts && code !== undefined ? [{ code, parts }] : [];
    }),
    absorption: curveIn(lineOf(entry, 'absorption')),
    scattering: curveIn(lineOf(entry, 'scattering')),
  };
}

export function readUndercoat(entry: Entry): Undercoat {
  const recoat = lineOf(entry, 'recoat');
  const after = value(recoat, 'from');
  const within = value(recoat, 'to');
  return {
    ...readMaterial(entry),
    steps: linesOf(entry, 'grey').flatMap((line) => readStep(line) ?? []),
    coats: text(lineOf(entry, 'coats'), 'coats'),
    film: filmIn(entry),
    recoat: after && {
      after: `${after.text} ${after.unit ?? ''}`.trim(),
      within: within && `${within.text} ${within.unit ?? ''}`.trim(),
    },
  };
}

function readMaterial(entry: Entry): Material {
  const density = baseIn(lineOf(entry, 'density'), 'density', 'density');
  const solids = lineOf(entry, 'solids');
  const share = baseIn(solids, 'solids', 'share');
  const exempt = lineOf(entry, 'exempt');
  return {
    code: text(entry.head, 'id') ?? '',
    name: text(entry.head, 'name') ?? '',
    system: text(lineOf(entry, 'system'), 'system'),
    density: density && density.compare(0) > 0 ? density : undefined,
    solids: share && { share, by: (text(solids, 'by') as 'weight' | 'volume') ?? 'weight' },
    water: baseIn(lineOf(entry, 'water'), 'water', 'share'),
    exempt: baseIn(exempt, 'exempt', 'share'),
    exemptDensity: baseIn(exempt, 'density', 'density'),
    voc: baseIn(lineOf(entry, 'voc'), 'voc', 'density'),
    price: priceIn(lineOf(entry, 'price'), density),
  };
}

function priceIn(line: Line | undefined, density: Rational | undefined): Material['price'] {
  const price = quantityIn(line, 'price', 'price per volume', 'price per mass');
  if (!price) return undefined;
  const currency = price.unit.currency ?? '';
  const perUnit = price.value.mul(price.unit.factor);
  if (price.unit.dimension === 'price per mass') return { perGram: perUnit, currency };
  return density?.gt(0) ? { perGram: perUnit.div(density), currency } : undefined;
}

function readLot(line: Line): Lot {
  const stock = quantityIn(line, 'stock', 'mass', 'volume');
  return {
    lot: text(line, 'lot') ?? '',
    strength: baseIn(line, 'strength', 'share'),
    opened: text(line, 'opened'),
    stock:
      stock &&
      (stock.unit.dimension === 'mass'
        ? { grams: convert(stock, unit('g')!).value }
        : { millilitres: convert(stock, unit('ml')!).value }),
  };
}

function readStep(line: Line): UndercoatStep | undefined {
  const grey = greyIn(line);
  if (!grey) return undefined;
  const codes = line.values.filter((one) => one.place === 'toner');
  const parts = line.values.filter((one) => one.place === 'parts');
  const toners = codes.flatMap((code, index) => {
    const amount = exact(parts[index]);
    return amount ? [{ code: code.text, parts: amount }] : [];
  });
  return { grey, toners, line };
}

export function curveIn(line: Line | undefined): StatedCurve | undefined {
  const grid = gridOf(text(line, 'grid'));
  const values = value(line, 'values')?.numbers;
  return grid && values && values.length === grid.count ? { start: grid.start, step: grid.step, values } : undefined;
}

export function gridOf(range: string | undefined): { start: number; step: number; count: number } | undefined {
  const [, from, to, step] = /^([\d.]+?)\.\.([\d.]+)\/([\d.]+)$/.exec(range ?? '') ?? [];
  if (step === undefined || Number(step) <= 0) return undefined;
  return { start: Number(from), step: Number(step), count: Math.round((Number(to) - Number(from)) / Number(step)) + 1 };
}
