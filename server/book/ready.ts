/** The paint of a system made ready to spray: its hardener, the reducer that suits the booth, and how much of each goes in. */
import { plainDecimal as plain } from '../exact/plain.ts';
import { type Rational, sum } from '../exact/rational.ts';
import {
  type Booth,
  type Component,
  type ReadyMix,
  type Reducer,
  readyToSpray,
  suitableReducers,
} from '../paint/ready.ts';
import type { Amount } from '../paint/weights.ts';
import type { Book } from './book.ts';
import type { AddedLine, PaintSystem } from './entries/system.ts';
import { systemNamed } from './known.ts';
import { type Lacking, lackingText, liquidsOf, type MaterialsByCode, materialNamed } from './materials.ts';

/** What a system adds to its paint, for a booth. */
export interface Additions {
  readonly system: PaintSystem;
  readonly lines: readonly AddedLine[];
  /** Nothing while a percentage lacks its base or a density is missing. */
  readonly components: readonly Component[] | undefined;
  readonly missing: readonly Lacking[];
  /** Why there are no components, and what was chosen; full sentences. */
  readonly notes: readonly string[];
}

/** Undefined where the system states neither hardener nor reducer. */
export function additionsOf(book: Book, systemId: string | undefined, booth: Booth | undefined): Additions | undefined {
  const system = systemId === undefined ? undefined : systemNamed(book, systemId);
  if (!system || system.added.length === 0) return undefined;
  return additionsFrom(book, system, chosen(system, booth));
}

/** With each of the reducers among which the booth chooses; once where there is nothing to choose, empty where nothing is added. */
export function everyAdditions(book: Book, systemId: string | undefined): Additions[] {
  const system = systemId === undefined ? undefined : systemNamed(book, systemId);
  if (!system || system.added.length === 0) return [];
  const choices = choicesOf(system);
  const lists =
    choices.length === 0
      ? [system.added]
      : choices.map((one) => system.added.filter((line) => line === one || !choices.includes(line)));
  return lists.map((lines) => additionsFrom(book, system, { lines, notes: [] }));
}

interface Chosen {
  readonly lines: readonly AddedLine[];
  readonly notes: readonly string[];
}

function additionsFrom(book: Book, system: PaintSystem, { lines, notes }: Chosen): Additions {
  const open = lines.filter((line) => !line.of || !line.by);
  const missing = lines.flatMap(({ code }): Lacking[] => {
    const material = materialNamed(book, code);
    return material?.density ? [] : [{ code, lacks: [material ? 'density' : 'entry'] }];
  });
  const components = lines.map(
    ({ code, role, share, of, by }): Component => ({
      code,
      role,
      share,
      of: of ?? 'paint',
      by: by ?? 'volume',
      density: materialNamed(book, code)?.density ?? share,
    }),
  );
  return {
    system,
    lines,
    components: open.length + missing.length > 0 ? undefined : components,
    missing,
    notes: [
      ...notes,
      ...open.map(
        ({ code, of }) => `${code}: ${of ? 'by volume or by weight is not said' : 'a percentage of what is not said'}.`,
      ),
      ...missing.map((one) => `${lackingText(one)}.`),
    ],
  };
}

/** Reducers that are made for certain booths only. */
export const choicesOf = ({ added }: PaintSystem): AddedLine[] =>
  added.filter((line) => line.role === 'reducer' && (line.temperature || line.humidity));

/** Hardeners, and reducers for any booth, always go in; of the others the one that suits the booth. */
function chosen(system: PaintSystem, booth: Booth | undefined): Chosen {
  const choices = choicesOf(system);
  const always = system.added.filter((line) => !choices.includes(line));
  if (choices.length === 0) return { lines: always, notes: [] };
  const suits = booth && suitableReducers(choices.map(reducerOf), booth)[0];
  const taken = booth ? choices.find(({ code }) => code === suits?.code) : choices[0];
  const lines = system.added.filter((line) => line === taken || always.includes(line));
  if (!taken) return { lines, notes: [`No reducer of the book is made for ${boothText(booth!)}; none was added.`] };
  const open = unsaid(taken, booth);
  const why = `${taken.code} is made for a booth at ${boothRange(taken)}${open === '' ? '' : `; the ${open} of yours was not said`}.`;
  return { lines, notes: choices.length > 1 || booth ? [why] : [] };
}

const reducerOf = ({ code, temperature, humidity }: AddedLine): Reducer => ({
  code,
  ...(temperature ? { temperature } : {}),
  ...(humidity ? { humidity } : {}),
});

/** What the reducer hangs on and nobody said of the booth. */
const unsaid = ({ temperature, humidity }: AddedLine, booth: Booth | undefined): string =>
  [temperature && !booth?.temperature && 'temperature', humidity && !booth?.humidity && 'humidity']
    .filter(Boolean)
    .join(' and ');

const boothText = ({ temperature, humidity }: Booth): string =>
  `a booth at ${[temperature && degrees(temperature), humidity && `${percent(humidity)} %RH`].filter(Boolean).join(' and ')}`;

const percent = (share: Rational): string => plain(share.mul(100));

export const degrees = (value: Rational): string => `${plain(value)} C`;
export const boothRange = ({ temperature, humidity }: AddedLine): string =>
  [
    temperature && `${plain(temperature[0])} to ${plain(temperature[1])} C`,
    humidity && `${percent(humidity[0])} to ${percent(humidity[1])} %RH`,
  ]
    .filter(Boolean)
    .join(' and ') || 'any temperature';

/** The paint of a coat made ready; undefined where a density is missing. */
export function readyMix(
  book: Book,
  amounts: readonly Amount[],
  components: readonly Component[],
  own?: MaterialsByCode,
): ReadyMix | undefined {
  const { liquids, missing } = liquidsOf(book, amounts, own);
  if (missing.length > 0) return undefined;
  const grams = sum(amounts.map((amount) => amount.grams));
  const millilitres = sum(liquids.map((liquid) => liquid.grams.div(liquid.density)));
  if (grams.lte(0)) return undefined;
  return readyToSpray({ code: 'paint', grams, density: grams.div(millilitres) }, components);
}
