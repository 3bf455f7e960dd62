/** Places in words, and something that may be written in each: for messages, snippets and signature help. */
import type { Dimension } from '../server/exact/units.ts';
import { type Expected, follow, type Step, takes } from './expect.ts';
import { dimensionsOf, type ValuePlace } from './place.ts';
import { scanLine } from './scanner.ts';
import type { Row } from './words.ts';

const IDS: Record<string, string> = {
  system: 'WB',
  scale: 'FINE',
  instrument: 'BENCH-2',
  toner: 'BLK-1',
  letdown: 'BLK-1-10',
  undercoat: 'SEAL',
  reading: 'SAM-door',
  formula: 'SAM-31',
  variant: 'SAM-31/dark',
  sprayout: 'SAM-31-card',
  drawdown: 'BLK-1-tint',
  batch: '2026-10-14-A',
};

const NUMBERS: Record<string, string> = {
  parts: '1.25',
  paint: '2',
  k1: '0.04',
  k2: '0.60',
  L: '61.92',
  a: '-18.40',
  b: '9.81',
  value: '4.2',
};

const NAMES: Record<string, string> = {
  who: 'RO',
  maker: 'Marram',
  code: 'samphire-a',
  lot: 'B-4471',
  zone: 'Europe/Dublin',
  regime: 'eu-2004-42',
  category: 'topcoat',
  cup: 'ISO-2431',
};

const QUANTITIES: Partial<Record<Dimension, string>> = {
  mass: '250 g',
  volume: '1 l',
  length: '18 um',
  area: '2.5 m2',
  temperature: '21 C',
  time: '15 min',
  share: '5 %',
  humidity: '40 %RH',
  density: '1.04 g/ml',
  'colour difference': '1.0 dE00',
  'price per volume': '38.50 EUR/l',
  'price per mass': '12 EUR/kg',
};

/** Something that may stand in the place. */
export function sampleOf(place: ValuePlace): string {
  switch (place.type) {
    case 'new':
    case 'ref':
      return IDS[place.args[0]!] ?? 'A-1';
    case 'text':
      return place.name === 'file' ? '"sam-door.cgats"' : place.name === 'name' ? '"Samphire Green"' : '"what to know"';
    case 'name':
      return NAMES[place.name] ?? '"a name"';
    case 'delta':
      return '+0.40';
    case 'count':
      return place.name === 'version' || place.name === 'take' ? '1' : '3';
    case 'quantity':
      return QUANTITIES[dimensionsOf(place)[0]!] ?? '1 g';
    case 'measure':
      return '1.0 dE00';
    case 'choice':
      return place.args[0]!;
    case 'date':
      return '2026-10-14T09:20';
    case 'geometry':
      return '45as15';
    case 'viewing':
      return 'D65/10';
    case 'range':
      return place.name === 'years' ? '2019..2023' : place.name === 'coats' ? '1..2' : '400..700/100';
    case 'grey':
      return 'N5';
    case 'operator':
      return '<=';
    case 'numbers':
      return '0.0311 0.0325 0.0341 0.0366';
    default:
      return NUMBERS[place.name] ?? '0.5';
  }
}

const PHRASES: Record<string, string> = {
  L: 'L*',
  a: 'a*',
  b: 'b*',
  k1: 'the number of k1',
  k2: 'the number of k2',
  when: 'the date',
  who: 'the person',
  grid: 'the range of wavelengths',
  values: 'the list of numbers',
  delta: 'the change in parts, with + or -,',
  viewing: 'the illuminant and observer',
  clear: "'cleared' or 'uncleared'",
  reason: 'the reason in quotes',
  by: "'weight' or 'volume'",
  limit: 'the limit',
  operator: 'the comparison sign',
  zone: 'the time zone',
  grams: 'the weight',
  running: 'the figure on the scale',
  from: 'the shortest time',
  to: 'the longest time',
  low: 'the lowest temperature',
  high: 'the highest temperature',
  dry: 'the lowest humidity',
  damp: 'the highest humidity',
  error: 'the share',
  interval: 'the time',
  sample: 'the name of the sample in quotes',
};

/** The place with its article, as a sentence names it: 'the parts', 'the id', 'the word grey'. */
export function phraseOf(expected: Expected): string {
  if (expected.is === 'word')
    return /\w/.test(expected.text) ? `the word ${expected.text}` : `the sign ${expected.text}`;
  if (expected.is === 'unit') return 'the unit';
  if (expected.is === 'lightness') return 'the lightness';
  const { place } = expected;
  if (place.type === 'text' && place.name !== 'reason' && place.name !== 'sample') return `the ${place.name} in quotes`;
  if (place.type === 'new') return `the id of the ${place.args[0]}`;
  return PHRASES[place.name] ?? `the ${place.name}`;
}

/** 'a formula', 'an undercoat'. */
export const article = (kind: string): string => `${/^[aeiou]/.test(kind) ? 'an' : 'a'} ${kind}`;

/** Is the phrase spoken of as several? */
export const isPlural = (expected: Expected): boolean => expected.is === 'value' && PLURALS.has(expected.place.name);

const PLURALS = new Set(['parts', 'coats', 'years', 'solids', 'takes', 'viewing']);

/** What the row's example has in its places, by name. */
const samples = new WeakMap<Row, ReadonlyMap<string, string>>();

function samplesOf(row: Row): ReadonlyMap<string, string> {
  let found = samples.get(row);
  if (!found) {
    found = samplesIn(row);
    samples.set(row, found);
  }
  return found;
}

function samplesIn(row: Row): Map<string, string> {
  const found = new Map<string, string>();
  for (const { text, step } of exampleAtoms(row)) {
    if (step?.is === 'value' && !found.has(step.name)) found.set(step.name, text);
    else if (step?.is === 'unit' || step?.is === 'lightness')
      found.set(step.place.name, `${found.get(step.place.name)} ${text}`);
  }
  return found;
}

/** The atoms of the row's example behind its word, each with what takes it. */
export function exampleAtoms(row: Row): { text: string; step: Step | undefined }[] {
  const { tokens } = scanLine(row.example, 0, row.example.length, true, []);
  return tokens.map((token, at) => {
    const { ways } = follow(row.places, tokens.slice(0, at));
    return { text: token.image, step: ways.find((way) => way && takes(way.step, token))?.step };
  });
}

/** Something that may stand in the place on a line of this row: what its example has there, or something usual. */
export function sampleFor(row: Row, expected: Expected): string {
  if (expected.is === 'word') return expected.text;
  if (expected.is === 'lightness') return '51';
  const sample = samplesOf(row).get(expected.place.name) ?? sampleOf(expected.place);
  return expected.is === 'unit' ? (sample.split(' ')[1] ?? 'g') : sample;
}

/** Is the place one that the row's example fills? */
export const isInExample = (row: Row, expected: Expected): boolean =>
  expected.is === 'word' ? row.example.split(' ').includes(expected.text) : samplesOf(row).has(expected.place.name);
