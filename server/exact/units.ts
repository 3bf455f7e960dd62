import { one, type Rational, rational } from './rational.ts';

/** What a quantity measures. A concentration (grams of VOC per litre) is a 'density', since both are mass per volume. */
export type Dimension =
  | 'mass'
  | 'volume'
  | 'length'
  | 'area'
  | 'temperature'
  | 'time'
  | 'share'
  | 'parts'
  | 'density'
  | 'humidity'
  | 'colour difference'
  | 'price per volume'
  | 'price per mass'
  | 'money';

export interface Unit {
  readonly symbol: string;
  readonly dimension: Dimension;
  /** How many of the dimension's base unit one of these is: g, ml, um, m2, C, s, share of 1, parts, g/ml, money per ml or g. */
  readonly factor: Rational;
  /** The currency of money and prices; two currencies never convert into each other. */
  readonly currency?: string;
}

type Row = readonly [symbol: string, dimension: Dimension, factor: string];

/**
 * The US gallon, the pound, the inch and what follows from them are exact by definition:
 * NIST Handbook 44, Appendix C, "General Tables of Units of Measurement". The imperial gallon of 4.54609 l is exact by the
 * UK Units of Measurement Regulations 1995 and stands in the same appendix.
 */
const rows: readonly Row[] = [
  ['g', 'mass', '1'],
  ['kg', 'mass', '1000'],
  ['mg', 'mass', '1/1000'],
  ['lb', 'mass', '453.59237'],
  ['oz-av', 'mass', '28.349523125'],
  ['ml', 'volume', '1'],
  ['cl', 'volume', '10'],
  ['l', 'volume', '1000'],
  ['floz-US', 'volume', '29.5735295625'],
  ['pt-US', 'volume', '473.176473'],
  ['qt-US', 'volume', '946.352946'],
  ['gal-US', 'volume', '3785.411784'],
  ['floz-imp', 'volume', '28.4130625'],
  ['pt-imp', 'volume', '568.26125'],
  ['qt-imp', 'volume', '1136.5225'],
  ['gal-imp', 'volume', '4546.09'],
  ['um', 'length', '1'],
  ['mil', 'length', '25.4'],
  ['mm', 'length', '1000'],
  ['cm', 'length', '10000'],
  ['m', 'length', '1000000'],
  ['m2', 'area', '1'],
  ['cm2', 'area', '1/10000'],
  ['ft2', 'area', '0.09290304'],
  ['C', 'temperature', '1'],
  ['s', 'time', '1'],
  ['min', 'time', '60'],
  ['h', 'time', '3600'],
  ['day', 'time', '86400'],
  ['days', 'time', '86400'],
  ['weeks', 'time', '604800'],
  ['%', 'share', '1/100'],
  ['parts', 'parts', '1'],
  ['g/ml', 'density', '1'],
  ['kg/l', 'density', '1'],
  ['g/l', 'density', '1/1000'],
  ['kg/m3', 'density', '1/1000'],
  ['lb/gal-US', 'density', '45359237/378541178.4'],
  ['lb/gal-imp', 'density', '45359237/454609000'],
  ['%RH', 'humidity', '1/100'],
  ['dE00', 'colour difference', '1'],
  ['dE76', 'colour difference', '1'],
  ['dE94', 'colour difference', '1'],
  ['dECMC', 'colour difference', '1'],
  ['dE99o', 'colour difference', '1'],
];

/** Dimensions whose units stand in the table above, in its order; prices and money are built of a currency. */
export const DIMENSIONS: readonly Dimension[] = [...new Set(rows.map(([, dimension]) => dimension))];

const table: ReadonlyMap<string, Unit> = new Map(
  rows.map(([symbol, dimension, factor]) => [symbol, { symbol, dimension, factor: factorOf(factor) }]),
);

function factorOf(text: string): Rational {
  const [over, under] = text.split('/') as [string, string?];
  return under === undefined ? rational(over) : rational(over).div(rational(under));
}

const POWER_OF_TEN = /^10*$/;

/** Whether a unit is a decimal multiple of its base: kg and ml are, a pound and a pint are not. */
export const isMetric = ({ factor }: Unit): boolean =>
  POWER_OF_TEN.test(String(factor.n)) && POWER_OF_TEN.test(String(factor.d));

/** Prices are written per one of these. */
const pricedPer = ['l', 'ml', 'gal-US', 'qt-US', 'gal-imp', 'kg', 'g', 'lb'];

/**
 * The unit that a symbol names, or undefined. Case counts, but for the litre: l and L are one unit.
 * Any three capitals are a currency: EUR is money, EUR/l and EUR/kg are prices.
 */
export function unit(symbol: string): Unit | undefined {
  const known = withSmallLitre(symbol);
  return table.get(known) ?? priceUnit(known);
}

function withSmallLitre(symbol: string): string {
  return symbol.replace(/(?<![A-Za-z])([mc]?)L(?![A-Za-z])/g, '$1l');
}

function priceUnit(symbol: string): Unit | undefined {
  const match = /^([A-Z]{3})(?:\/(.+))?$/.exec(symbol);
  if (!match) return undefined;
  const [, currency, per] = match as unknown as [string, string, string?];
  if (per === undefined) return { symbol, dimension: 'money', factor: one, currency };
  const divisor = pricedPer.includes(per) ? table.get(per) : undefined;
  if (!divisor) return undefined;
  const dimension = divisor.dimension === 'mass' ? 'price per mass' : 'price per volume';
  return { symbol, dimension, factor: divisor.factor.inverse(), currency };
}

/** Currencies that completion offers; every other three-letter code is read as well. */
const offeredCurrencies = ['EUR', 'GBP', 'USD'];

/** The units to offer where a dimension is expected, the usual ones first. */
export function unitsOf(dimension: Dimension): readonly Unit[] {
  const priced = offeredCurrencies.flatMap((currency) => [currency, ...pricedPer.map((per) => `${currency}/${per}`)]);
  return [...table.values(), ...priced.map((symbol) => priceUnit(symbol)!)].filter(
    (candidate) => candidate.dimension === dimension,
  );
}

const advice: Readonly<Record<string, string>> = {
  oz: "an ounce may be mass or volume: write 'oz-av' (28.35 g), 'floz-US' (29.57 ml) or 'floz-imp' (28.41 ml)",
  floz: "say whose fluid ounce: 'floz-US' (29.57 ml) or 'floz-imp' (28.41 ml)",
  pt: "say whose pint: 'pt-US' (473.2 ml) or 'pt-imp' (568.3 ml)",
  qt: "say whose quart: 'qt-US' (946.4 ml) or 'qt-imp' (1136.5 ml)",
  gal: "say whose gallon: 'gal-US' (3.785 l) or 'gal-imp' (4.546 l)",
  'lb/gal': "say whose gallon: 'lb/gal-US' (119.8 g/l) or 'lb/gal-imp' (99.8 g/l)",
  f: "temperatures are in degrees Celsius: write 'C', (F - 32) x 5/9",
  k: "temperatures are in degrees Celsius: write 'C'",
  de: "say which colour difference: 'dE00' (CIEDE2000), 'dE76', 'dE94', 'dECMC' or 'dE99o'",
  '€/l': "write the currency's three letters: 'EUR/l'",
  '€/kg': "write the currency's three letters: 'EUR/kg'",
  '€': "write the currency's three letters: 'EUR'",
  $: "write the currency's three letters, such as 'USD'",
  '£': "write the currency's three letters: 'GBP'",
  month: "months differ in length: write 'days' or 'weeks'",
  months: "months differ in length: write 'days' or 'weeks'",
};

/** Spellings that are clear but not ours, to the unit they mean. */
const spellings: Readonly<Record<string, string>> = {
  gr: 'g',
  gm: 'g',
  gram: 'g',
  grams: 'g',
  kgs: 'kg',
  lbs: 'lb',
  cc: 'ml',
  cm3: 'ml',
  litre: 'l',
  litres: 'l',
  liter: 'l',
  liters: 'l',
  µm: 'um',
  micron: 'um',
  microns: 'um',
  mils: 'mil',
  thou: 'mil',
  'm²': 'm2',
  sqm: 'm2',
  'ft²': 'ft2',
  sqft: 'ft2',
  'cm²': 'cm2',
  '°c': 'C',
  degc: 'C',
  sec: 's',
  secs: 's',
  seconds: 's',
  mins: 'min',
  minutes: 'min',
  hr: 'h',
  hrs: 'h',
  hour: 'h',
  hours: 'h',
  d: 'days',
  week: 'weeks',
  part: 'parts',
  percent: '%',
  pct: '%',
  'g/cm3': 'g/ml',
  'g/cc': 'g/ml',
  rh: '%RH',
};

/** What to write instead of a symbol that is no unit, as the end of a sentence; undefined when nothing comes near. */
export function unitAdvice(symbol: string): string | undefined {
  if (unit(symbol)) return undefined;
  // The micro sign and the Greek letter mu look the same and are both typed.
  const small = symbol.toLowerCase().replace('\u03bc', '\u00b5').replace('°f', 'f');
  if (Object.hasOwn(advice, small)) return advice[small];
  const meant = Object.hasOwn(spellings, small) ? spellings[small] : sameButForCase(small);
  return meant === undefined ? undefined : `write '${meant}'`;
}

function sameButForCase(small: string): string | undefined {
  const inTable = [...table.keys()].find((known) => known.toLowerCase() === small);
  if (inTable) return inTable;
  const [currency = '', per] = small.split('/');
  const capital = [currency.toUpperCase(), ...(per === undefined ? [] : [per])].join('/');
  return per !== undefined && priceUnit(capital) ? capital : undefined;
}
