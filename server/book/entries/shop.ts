/** What the `book` entry states for the whole shop, with the documented value where it says nothing. */

import { type Entry, type Line, lineOf, linesOf, text } from '../../../grammar/tree.ts';
import { parseViewing, type Viewing } from '../../colour/viewing.ts';
import { type Rational, rational } from '../../exact/rational.ts';
import { baseIn, numberIn, stepIn } from './written.ts';

export type Purpose = 'edge' | 'blend' | 'hidden';

export interface Tolerance {
  readonly purpose: Purpose;
  /** For one angle only; else for every angle that has none of its own. */
  readonly geometry: string | undefined;
  /** CIEDE2000. */
  readonly limit: number;
  readonly stated: boolean;
}

export interface OwnLimit {
  readonly regime: string;
  readonly category: string;
  /** g/l */
  readonly limit: Rational;
  readonly figure: 'actual' | 'lessWater' | 'lessWaterAndExempt';
  readonly when: string;
}

export interface NamedLimit {
  readonly regime: string;
  readonly category: string;
  /** The category of the undercoat, where the book says it. */
  readonly undercoat: string | undefined;
}

export interface Shop {
  readonly name: string;
  readonly language: number;
  readonly zone: string;
  /** Readability of the bench scale, and the most that it carries, g. */
  readonly step: Rational;
  readonly capacity: Rational | undefined;
  readonly viewings: readonly Viewing[];
  readonly tolerances: readonly Tolerance[];
  readonly saunderson: { readonly k1: number; readonly k2: number; readonly specular: 'excluded' | 'included' };
  readonly concentration: 'parts' | 'solids';
  /** Seconds for which a calibration counts; nothing when the book does not say. */
  readonly recalibrate: number | undefined;
  readonly takes: number;
  /** CIEDE2000 that the takes of a reading may lie from their mean. */
  readonly spread: number;
  /** Accepted relative error of a pour. */
  readonly weighingError: Rational;
  readonly voc: NamedLimit | undefined;
  /** VOC limits that the book writes for itself. */
  readonly limits: readonly OwnLimit[];
  /** VOC of the clear coat as sprayed, g/l. */
  readonly clearVoc: Rational | undefined;
  /** The share of the sprayed solids that stays on the part, and ml lost whatever is sprayed; nothing when the book does not say. */
  readonly transfer: { readonly efficiency: Rational; readonly loss: Rational | undefined } | undefined;
  /** Words of the `book` entry that are really there; everything else is a default and is shown as one. */
  readonly stated: ReadonlySet<string>;
}

/** Used where the book is silent. Figures are common practice, see the manual. */
export const DEFAULT_SHOP: Shop = {
  name: '',
  language: 1,
  zone: 'UTC',
  step: rational('0.1'),
  capacity: undefined,
  viewings: [{ illuminant: 'D65', observer: '10' }],
  tolerances: [
    { purpose: 'edge', geometry: undefined, limit: 1, stated: false },
    { purpose: 'blend', geometry: undefined, limit: 2, stated: false },
    { purpose: 'hidden', geometry: undefined, limit: 4, stated: false },
  ],
  saunderson: { k1: 0.04, k2: 0.6, specular: 'excluded' },
  concentration: 'parts',
  recalibrate: undefined,
  takes: 3,
  spread: 0.5,
  weighingError: rational('0.05'),
  voc: undefined,
  limits: [],
  clearVoc: undefined,
  transfer: undefined,
  stated: new Set(),
};

export function readShop(entry: Entry): Shop {
  const line = (word: string) => lineOf(entry, word);
  const saunderson = line('saunderson');
  const voc = line('voc');
  const takes = line('takes');
  const viewings = viewingsIn(line('illuminants'));
  return {
    name: text(entry.head, 'name') ?? '',
    language: numberIn(line('language'), 'version') ?? DEFAULT_SHOP.language,
    zone: text(line('timezone'), 'zone') ?? DEFAULT_SHOP.zone,
    step: stepIn(line('scale'), 'readability') ?? DEFAULT_SHOP.step,
    capacity: positive(baseIn(line('scale'), 'capacity', 'mass')),
    viewings: viewings.length > 0 ? viewings : DEFAULT_SHOP.viewings,
    tolerances: tolerancesIn(entry),
    saunderson: {
      k1: numberIn(saunderson, 'k1') ?? DEFAULT_SHOP.saunderson.k1,
      k2: numberIn(saunderson, 'k2') ?? DEFAULT_SHOP.saunderson.k2,
      specular: (text(saunderson, 'specular') as 'excluded' | 'included') ?? DEFAULT_SHOP.saunderson.specular,
    },
    concentration: (text(line('concentration'), 'basis') as 'parts' | 'solids') ?? DEFAULT_SHOP.concentration,
    recalibrate: baseIn(line('recalibrate'), 'interval', 'time')?.valueOf(),
    takes: numberIn(takes, 'takes') ?? DEFAULT_SHOP.takes,
    spread: numberIn(takes, 'spread') ?? DEFAULT_SHOP.spread,
    weighingError: positive(baseIn(line('weighing'), 'error', 'share')) ?? DEFAULT_SHOP.weighingError,
    voc: voc && {
      regime: text(voc, 'regime') ?? '',
      category: text(voc, 'category') ?? '',
      undercoat: text(voc, 'undercoat'),
    },
    limits: linesOf(entry, 'limit').flatMap((one) => limitIn(one) ?? []),
    clearVoc: positive(baseIn(line('clear'), 'voc', 'density'))?.mul(1000),
    transfer: transferIn(line('transfer')),
    stated: new Set(entry.lines.filter((one) => one.row).map((one) => one.word)),
  };
}

const FIGURES = {
  actual: 'actual',
  'less-water': 'lessWater',
  'less-water-and-exempt': 'lessWaterAndExempt',
} as const;

function limitIn(line: Line): OwnLimit | undefined {
  const [regime, category] = [text(line, 'regime'), text(line, 'category')];
  const figure = FIGURES[text(line, 'figure') as keyof typeof FIGURES];
  const limit = positive(baseIn(line, 'limit', 'density'))?.mul(1000);
  const when = text(line, 'when');
  if (regime === undefined || category === undefined || !limit || !figure || when === undefined) return undefined;
  return { regime, category, limit, figure, when };
}

function transferIn(line: Line | undefined): Shop['transfer'] {
  const efficiency = positive(baseIn(line, 'efficiency', 'share'));
  return efficiency?.lte(1) ? { efficiency, loss: baseIn(line, 'loss', 'volume') } : undefined;
}

const positive = (value: Rational | undefined): Rational | undefined =>
  value && value.compare(0) > 0 ? value : undefined;

function viewingsIn(line: Line | undefined): Viewing[] {
  return (line?.values ?? []).flatMap((value) => viewingOf(value.text) ?? []);
}

export function viewingOf(written: string | undefined): Viewing | undefined {
  try {
    return written === undefined ? undefined : parseViewing(written);
  } catch {
    return undefined;
  }
}

function tolerancesIn(entry: Entry): readonly Tolerance[] {
  const stated = linesOf(entry, 'tolerance').flatMap((line): Tolerance[] => {
    const limit = numberIn(line, 'limit');
    if (limit === undefined) return [];
    return [
      { purpose: (text(line, 'purpose') as Purpose) ?? 'edge', geometry: text(line, 'geometry'), limit, stated: true },
    ];
  });
  const general = (purpose: Purpose) => stated.some((one) => one.purpose === purpose && one.geometry === undefined);
  return [...stated, ...DEFAULT_SHOP.tolerances.filter((one) => !general(one.purpose))];
}

/** The tolerance for one angle: its own, else the general one. */
export function toleranceFor(shop: Shop, geometry: string, purpose: Purpose = 'edge'): Tolerance {
  const fit = (one: Tolerance) => one.purpose === purpose && one.geometry === geometry;
  return (
    shop.tolerances.find(fit) ?? shop.tolerances.find((one) => one.purpose === purpose && one.geometry === undefined)!
  );
}
