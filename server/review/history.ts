/** Which commits may have changed what an entry means, from the entries of the files that each commit changed. */
import type { FormulaReview } from './formula.ts';
import { Outline } from './outline.ts';
import type { PathPoint } from './path.ts';
import type { EntryReview } from './review.ts';
import type { Source } from './source.ts';

/** The kinds that share the ids of formulas, and those that a person may ask the history of. */
const FORMULAS = new Set(['formula', 'variant']);

export interface Tracked {
  readonly id: string;
  readonly formula: boolean;
}

/** The entry of an id: a formula or variant first, else whatever has it. */
export function tracked(outline: Outline, wanted: string): Tracked | undefined {
  const colon = /^(\w+):(.+)$/.exec(wanted);
  const parts = outline.withId((colon?.[2] ?? wanted).normalize('NFC'));
  const found = colon
    ? parts.find(({ kind }) => kind === colon[1] || (colon[1] === 'formula' && kind === 'variant'))
    : (parts.find(({ kind }) => FORMULAS.has(kind ?? '')) ?? parts[0]);
  return found?.id === undefined ? undefined : { id: found.id, formula: FORMULAS.has(found.kind ?? '') };
}

/** The entry, what it derives from, and its cards, as one text; empty where the files do not hold it. */
export function textOf(outline: Outline, { id, formula }: Tracked): string {
  const ids = formula ? lineage(id) : [id];
  const own = ids.flatMap((one) => outline.withId(one).filter(({ kind }) => FORMULAS.has(kind ?? '') === formula));
  const cards = formula ? outline.of(id).filter(({ kind }) => kind === 'sprayout') : [];
  return [...own, ...cards]
    .map(({ text }) => text.trim())
    .sort()
    .join('\n');
}

function lineage(id: string): string[] {
  const ids = [id];
  for (let at = id.lastIndexOf('/'); at > 0; at = id.lastIndexOf('/', at - 1)) ids.push(id.slice(0, at));
  return ids;
}

/** An outline of a few files of a version. */
export const outlineOf = (files: ReadonlyMap<string, { readonly id: string; readonly text: string }>): Outline =>
  new Outline({ label: '', files, beside: new Map() } satisfies Source);

export interface HistoryStep {
  readonly commit: string;
  readonly author: string;
  readonly date: string;
  readonly subject: string;
  readonly id: string;
  /** What the commit did to the formula; null for other entries. */
  readonly formula: FormulaReview | null;
  readonly entry: EntryReview | null;
  /** Where its colour stands after the commit; null for what has none, and where it was taken out. */
  readonly colour: PathPoint | null;
}

export interface HistoryAnswer {
  readonly id: string;
  /** The name of the shop, empty where the book gives none. */
  readonly shop: string;
  /** Newest first. */
  readonly steps: readonly HistoryStep[];
  /** The history goes on, but not in this clone, or beyond the limit. */
  readonly cutOff: 'shallow' | 'limit' | null;
}
