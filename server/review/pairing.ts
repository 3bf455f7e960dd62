/** A formula in both versions, with the changes that it hangs on: itself, its parents, toners, undercoats, standard, cards, system, settings. */
import { coloursBelow } from '../book/below.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { cardIn, formulaIn, systemNamed, tonerIn, undercoatNamed } from '../book/known.ts';
import { type Recipe, recipeIn, recipeNamed, sameRatios } from '../book/recipe.ts';
import type { EntryChange } from './changes.ts';
import type { Pairing } from './formula.ts';
import { partsBelow } from './undercoat.ts';
import type { Unread, UnreadLine } from './unread.ts';
import type { Versions } from './versions.ts';

/** Is the optics fit of both versions the same? `none`: neither version records one. */
export type Model = 'none' | 'same' | 'moved';

export interface NamedChanges {
  readonly byName: ReadonlyMap<string, EntryChange>;
  /** Names that are called otherwise now. */
  readonly renamedAway: ReadonlySet<string>;
  /** The spaces of the names: what of a formula is in none of them need not be asked for. */
  readonly spaces: ReadonlySet<string>;
  /** Toners that only have another code now: the earlier one, the present one. */
  readonly recoded: readonly (readonly [string, string])[];
  /** Everything that has another name now, by the names of `byName`: the earlier one, the present one. */
  readonly renamed: readonly (readonly [string, string])[];
}

export const changesByName = (changes: readonly EntryChange[]): NamedChanges => ({
  byName: new Map(changes.map((change) => [change.name, change])),
  renamedAway: new Set(changes.flatMap((one) => (one.is === 'renamed' ? [one.from] : []))),
  spaces: new Set(changes.map(({ name }) => name.slice(0, name.indexOf(':')))),
  recoded: changes.flatMap((one) =>
    one.is === 'renamed' && one.name.startsWith('toner:') && !colours(one)
      ? [[one.from.slice('toner:'.length), one.name.slice('toner:'.length)] as const]
      : [],
  ),
  renamed: changes.flatMap((one) => (one.is === 'renamed' ? [[one.from, one.name] as const] : [])),
});

/** A formula in both versions, with what changed that it hangs on; nothing where it goes on under another name. */
export function pairingOf(
  { before, after }: Versions,
  id: string,
  changes: NamedChanges,
  model: Model,
  unread: Unread,
): Pairing | undefined {
  const { byName, renamedAway } = changes;
  const name = `formula:${id}` as const;
  const change = byName.get(name);
  if (renamedAway.has(name) && !change) return undefined;
  const from = change?.is === 'renamed' ? change.from.slice('formula:'.length) : null;
  const old = before.book.find('formula', from ?? id);
  const now = after.book.find('formula', id);
  if (!old && !now) return undefined;
  const was = change?.is ?? 'reached';
  const asked = new Set([...causes(before.book, old, changes), ...causes(after.book, now, changes)]);
  const found = [...asked].filter((one) => !ofAnotherGrey(one, { before, after }, old, now));
  const words = change && 'words' in change ? change.words : [];
  const because = [
    ...(change ? ['itself'] : []),
    ...found.map(shown),
    ...(model === 'moved' && old && now ? ['optics.lock'] : []),
  ];
  const moved = model === 'moved' || found.some(colours);
  return {
    before: old,
    after: now,
    was,
    from,
    words,
    because,
    moved,
    recoded: changes.recoded,
    renamed: changes.renamed,
    unread: unreadOf(id, now, [name, ...found.map((one) => one.name)], unread),
  };
}

/** Is it another step of the undercoat that is mixed otherwise, and not that of the formula's grey? */
function ofAnotherGrey(
  change: EntryChange,
  { before, after }: Versions,
  old: EntryCell | undefined,
  now: EntryCell | undefined,
): boolean {
  if (change.is !== 'changed' || !change.name.startsWith('undercoat:') || !old || !now) return false;
  if (change.words.some((word) => word !== 'grey')) return false;
  const [was, is] = [recipeIn(before.book, old).undercoat?.is, recipeIn(after.book, now).undercoat?.is];
  return was !== undefined && is !== undefined && sameRatios(partsBelow(before.book, was), partsBelow(after.book, is));
}

/** Lines of what it hangs on; the settings of the shop are told for all formulas at once. Of one that is gone: heads that may be its own. */
function unreadOf(id: string, now: EntryCell | undefined, names: readonly string[], unread: Unread): UnreadLine[] {
  if (unread.size === 0) return [];
  if (!now) return (unread.get('') ?? []).filter(({ text }) => text.split(/\s+/).includes(id));
  return [...new Set(names)].flatMap((name) => (name === 'book:' ? [] : (unread.get(name) ?? [])));
}

/** Which of the changes a formula hangs on. */
function causes(book: Book, cell: EntryCell | undefined, { byName, spaces, renamed }: NamedChanges): EntryChange[] {
  if (!cell) return [];
  const recipe = recipeIn(book, cell);
  const toners = spaces.has('toner');
  const names = new Set<string>();
  for (const id of recipe.lineage) if (id !== recipe.id) names.add(`formula:${id}`);
  const parent = formulaIn(book, cell).parent;
  if (parent !== undefined) names.add(`formula:${parent}`);
  for (const code of toners ? tonersOf(recipe) : []) for (const name of materials(book, code)) names.add(name);
  if (recipe.undercoat) for (const name of below(book, recipe, toners)) names.add(name);
  if (recipe.standard && spaces.has('reading')) names.add(`reading:${recipe.standard.is}`);
  if (spaces.has('sprayout') || spaces.has('batch')) for (const name of cards(book, recipe)) names.add(name);
  names.add('book:');
  if (recipe.system && (toners || spaces.has('system')))
    for (const name of sprayedWith(book, recipe.system.is)) names.add(name);
  const present = renamed.length > 0 ? new Map(renamed) : undefined;
  return [...names].flatMap((name) => byName.get(name) ?? byName.get(present?.get(name) ?? '') ?? []);
}

const tonersOf = ({ coats }: Recipe): string[] => coats.flatMap((coat) => coat.toners.map(({ code }) => code));

/** The undercoats, each with its toners where any of these changed. */
function* below(book: Book, recipe: Recipe, toners: boolean): Generator<string> {
  const coloured = coloursBelow(book, recipe).ids;
  for (const id of coloured) yield* [id, ...(recipeNamed(book, id)?.lineage ?? [])].map((one) => `formula:${one}`);
  const recipes = coloured.flatMap((id) => recipeNamed(book, id) ?? []);
  const grey = (recipes.at(-1) ?? recipe).undercoat?.is;
  if (grey && !grey.coloured) yield `undercoat:${grey.id}`;
  if (!toners) return;
  const steps = grey && !grey.coloured ? (undercoatNamed(book, grey.id)?.steps ?? []) : [];
  const codes = [...recipes.flatMap(tonersOf), ...steps.flatMap((step) => step.toners.map(({ code }) => code))];
  for (const code of new Set(codes)) yield* materials(book, code);
}

/** The cards of a formula, each with the batch that was sprayed on it. */
function* cards(book: Book, { id }: Recipe): Generator<string> {
  for (const cell of book.usersOf(`formula:${id}`)) {
    if (cell.entry.kind !== 'sprayout' || !cell.name) continue;
    yield cell.name;
    const { batch } = cardIn(book, cell);
    if (batch !== undefined) yield `batch:${batch}`;
  }
}

/** The system, and what it adds to its paint. */
const sprayedWith = (book: Book, id: string): string[] => [
  `system:${id}`,
  ...(systemNamed(book, id)?.added ?? []).flatMap(({ code }) => (code === undefined ? [] : [`toner:${code}`])),
];

/** Lines of a toner or let-down by which it colours; its price, density or stock do not. */
const COLOURING = new Set(['absorption', 'scattering', 'kind', 'lot', 'solids', 'toner', 'letdown']);

const colours = (change: EntryChange): boolean =>
  change.name.startsWith('toner:') &&
  (change.is === 'added' || change.is === 'removed' || change.words.some((word) => COLOURING.has(word)));

/** A toner and what it is let down from. */
function materials(book: Book, code: string, depth = 0): string[] {
  const cell = depth < 8 ? book.find('toner', code) : undefined;
  const made = cell ? tonerIn(book, cell).madeOf : [];
  return [`toner:${code}`, ...made.flatMap((one) => materials(book, one.code, depth + 1))];
}

/** `toner BLK-1`; the shop's settings are `book`. */
export function shown(change: EntryChange): string {
  if (change.name === 'book:') return 'book';
  const cell = change.is === 'removed' ? change.before : change.after;
  return `${cell.entry.kind} ${change.name.slice(change.name.indexOf(':') + 1)}`;
}
