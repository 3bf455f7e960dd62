/** The formulas and variants that come nearest to a reading, each by the card that shows it as it is now, else by its standard. */

import type { Book } from '../book/book.ts';
import { currentCard } from '../book/cards.ts';
import type { EntryCell } from '../book/cell.ts';
import { coloursIn, labOf } from '../book/colours.ts';
import { measuredIn, shopOf } from '../book/known.ts';
import { recipeIn } from '../book/recipe.ts';
import { USUAL_LIMITS } from '../colour/comparable.ts';
import { difference } from '../colour/difference.ts';
import { directionByZone, directionPhrase } from '../colour/direction.ts';
import { parseGeometry } from '../colour/geometry.ts';
import type { Lab } from '../colour/lab.ts';
import { LabIndex } from '../colour/search.ts';
import { type Flakes, flakesOf } from './flakes.ts';
import { likenessOf } from './likeness.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface Candidate {
  readonly formula: string;
  readonly name: string;
  readonly basis: 'sprayout' | 'standard';
  /** The card or the standard that was compared. */
  readonly by: string;
  /** Mean over the angles that both have, CIEDE2000. */
  readonly dE00: number;
  readonly worst: { readonly geometry: string; readonly dE00: number };
  readonly perAngle: readonly { readonly geometry: string; readonly dE00: number; readonly direction: string }[];
  readonly undercoat: { readonly undercoat: string; readonly grey: string; readonly coloured: boolean } | null;
  readonly status: string | null;
  /** What differs, in words, worst angle first. */
  readonly differs: string;
  /** Angles of the reading that the candidate was not read at. */
  readonly missingAngles: readonly string[];
  /** Why its figures may mislead: it was not read like the reading. */
  readonly notes: readonly string[];
  readonly flakes: Flakes;
}

export interface MatchAnswer {
  readonly reading: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly candidates: readonly Candidate[];
}

/** Nearest first. Withdrawn formulas are left out. */
export function match(book: Book, reading: EntryCell, most = 5): MatchAnswer {
  const viewing = shopOf(book).viewings[0]!;
  const measured = measuredIn(book, reading);
  const colours = coloursIn(book, reading);
  const query = new Map(
    colours.angles.flatMap((angle) => {
      const lab = labOf(angle, viewing, colours.bandpass);
      return lab ? [[angle.geometry, lab] as const] : [];
    }),
  );
  if (query.size === 0) {
    throw new Unanswerable(
      `Reading ${measured.id} has no values under ${viewing.illuminant}/${viewing.observer}, so nothing can be matched to it.`,
    );
  }
  // The reading itself may be some formula's standard; it is asked for one more, since a thing is no match of itself.
  const found = shelfOf(book).flatMap((group) => nearestIn(group, query, most + 1));
  const candidates = found
    .filter((item) => item.by !== reading)
    .map((item) => candidate(book, reading, item, query))
    .sort((a, b) => a.missingAngles.length - b.missingAngles.length || a.dE00 - b.dE00)
    .slice(0, most);
  return { reading: measured.id, ...viewing, candidates };
}

interface Item {
  readonly formula: EntryCell;
  readonly by: EntryCell;
  readonly basis: Candidate['basis'];
  readonly labs: ReadonlyMap<string, Lab>;
}

/** All that was read at one set of angles. */
interface Group {
  readonly geometries: readonly string[];
  readonly items: readonly Item[];
  readonly index: LabIndex;
}

function shelfOf(book: Book): readonly Group[] {
  return book
    .bookFact(
      'shelf',
      () => shelve(book),
      () => [] as Group[],
    )
    .get();
}

function shelve(book: Book): Group[] {
  const groups = new Map<string, Item[]>();
  for (const kind of ['formula', 'variant'] as const) {
    for (const cell of book.ofKind(kind)) {
      const item = itemOf(book, cell);
      if (!item) continue;
      const key = [...item.labs.keys()].join(' ');
      const group = groups.get(key);
      if (group) group.push(item);
      else groups.set(key, [item]);
    }
  }
  return [...groups].map(([key, items]) => {
    const geometries = key.split(' ');
    const labs = Float64Array.from(items.flatMap((item) => geometries.flatMap((geometry) => item.labs.get(geometry)!)));
    return { geometries, items, index: new LabIndex(labs, geometries.length) };
  });
}

/** What a formula looks like: its card as it is now, else its own standard. A variant that only inherits a standard shows nothing yet. */
function itemOf(book: Book, formula: EntryCell): Item | undefined {
  const recipe = recipeIn(book, formula);
  if (recipe.status?.is === 'withdrawn') return undefined;
  const card = currentCard(book, formula);
  const standard = recipe.standard?.from === formula ? book.find('reading', recipe.standard.is) : undefined;
  const by = card?.cell ?? standard;
  if (!by) return undefined;
  const viewing = shopOf(book).viewings[0]!;
  const colours = coloursIn(book, by);
  const labs = new Map(
    colours.angles.flatMap((angle) => {
      const lab = labOf(angle, viewing, colours.bandpass);
      return lab ? [[angle.geometry, lab] as const] : [];
    }),
  );
  return labs.size === 0 ? undefined : { formula, by, basis: card ? 'sprayout' : 'standard', labs };
}

function nearestIn(group: Group, query: ReadonlyMap<string, Lab>, most: number): Item[] {
  const common = group.geometries.filter((geometry) => query.has(geometry));
  if (common.length === 0) return [];
  if (common.length === group.geometries.length) {
    const wanted = Float64Array.from(common.flatMap((geometry) => query.get(geometry)!));
    return group.index.nearest(wanted, Math.min(most, group.items.length)).map(({ index }) => group.items[index]!);
  }
  // The reading lacks some of the group's angles: the few such groups are gone through one by one.
  const mean = (item: Item) =>
    common.reduce((total, geometry) => total + dE00(query.get(geometry)!, item.labs.get(geometry)!), 0);
  return group.items
    .map((item) => ({ item, at: mean(item) }))
    .sort((a, b) => a.at - b.at)
    .slice(0, most)
    .map(({ item }) => item);
}

const dE00 = (a: Lab, b: Lab): number => difference('dE00', a, b);

function candidate(book: Book, reading: EntryCell, item: Item, query: ReadonlyMap<string, Lab>): Candidate {
  const recipe = recipeIn(book, item.formula);
  const perAngle = [...query]
    .flatMap(([geometry, lab]) => {
      const other = item.labs.get(geometry);
      return other ? [{ geometry, dE00: rounded(dE00(lab, other)), direction: directionPhrase(lab, other) }] : [];
    })
    .sort((a, b) => b.dE00 - a.dE00);
  const worst = perAngle[0]!;
  const pairs = [...query].flatMap(([geometry, standard]) => {
    const sample = item.labs.get(geometry);
    return sample ? [{ geometry: parseGeometry(geometry), standard, sample }] : [];
  });
  const undercoat = recipe.undercoat?.is;
  return {
    formula: recipe.id,
    name: recipe.name,
    basis: item.basis,
    by: measuredIn(book, item.by).id,
    dE00: rounded(perAngle.reduce((total, one) => total + one.dE00, 0) / perAngle.length),
    worst: { geometry: worst.geometry, dE00: worst.dE00 },
    perAngle,
    undercoat: undercoat
      ? { undercoat: undercoat.id, grey: undercoat.grey?.text ?? '', coloured: undercoat.coloured }
      : null,
    status: recipe.status?.is ?? null,
    differs: directionByZone(pairs),
    missingAngles: [...query.keys()].filter((geometry) => !item.labs.has(geometry)),
    notes: notesOn(book, reading, item.by),
    flakes: flakesOf(book, reading, item.by),
  };
}

/** Cards are older than the vehicles that they are held against: their age is no remark here. */
function notesOn(book: Book, reading: EntryCell, by: EntryCell): readonly string[] {
  const { grave, remarks } = likenessOf(book, reading, by, { ...USUAL_LIMITS, days: Number.POSITIVE_INFINITY });
  return [...grave, ...remarks];
}
