/** Two versions of a book reviewed as paint. The work grows with the entries that the change reaches. */
import { linesOf, text } from '../../grammar/tree.ts';
import { importUri } from '../book/book.ts';
import { shopOf } from '../book/known.ts';
import type { Learned } from '../book/optics/learn.ts';
import { unlearnedSamples } from '../book/optics/optics.ts';
import { sameFit } from '../book/optics/shift.ts';
import { viewingText } from '../colour/viewing.ts';
import { type Changed, type EntryChange, entryChanges } from './changes.ts';
import { withFits } from './fits.ts';
import { type FormulaReview, type OldByNewModel, type Pairing, reviewFormula, tellsSomething } from './formula.ts';
import { lightMoved, meantOtherwise } from './light.ts';
import { inNumberOrder } from './number-order.ts';
import { changesByName, type Model, pairingOf, shown } from './pairing.ts';
import { reachedFormulas } from './reach.ts';
import { type CommitHead, pathOf } from './source.ts';
import { expectedIn } from './state.ts';
import { allUnread, type Unread, type UnreadLine, unreadLines } from './unread.ts';
import type { Grade } from './verdict.ts';
import type { Place, Version, Versions } from './versions.ts';

export interface EntryReview {
  /** `toner BLK-1`; the shop's settings are `book`. */
  readonly entry: string;
  readonly was: 'added' | 'removed' | 'renamed' | 'changed';
  readonly from: string | null;
  readonly words: readonly string[];
  readonly place: Place;
}

export interface Review {
  /** The name of the shop, empty where the book gives none. */
  readonly shop: string;
  readonly before: string;
  readonly after: string;
  /** Full names in git; null for files as they lie there. */
  readonly beforeCommit: string | null;
  readonly afterCommit: string | null;
  /** The commits between that changed the book, newest first; empty where the versions are not of git. */
  readonly commits: readonly CommitHead[];
  /** Formulas and variants that say something else or come out otherwise, the gravest first. */
  readonly formulas: readonly FormulaReview[];
  /** Lines that came with the change and cannot be read. */
  readonly unread: readonly UnreadLine[];
  /** All other entries that say something else. */
  readonly entries: readonly EntryReview[];
  /** Formulas that the change reaches without any effect on them. */
  readonly untouched: number;
  readonly model: Model;
  /** Where predictions cannot be relied on. */
  readonly notes: readonly string[];
}

/** What an editor that follows every key keeps from one review to the next. */
export interface Kept {
  readonly changes: readonly EntryChange[];
  readonly unread: Unread;
  readonly formula: (pairing: Pairing) => FormulaReview;
}

export function review(versions: Versions, commits: readonly CommitHead[] = [], kept?: Kept): Review {
  const { before, after } = versions;
  const changes = kept?.changes ?? [...entryChanges(before.book, after.book), ...importChanges(versions)];
  const unread = kept?.unread ?? unreadLines(before.book.cells(), after, after.book.cells(), changes);
  const model = modelOf(versions);
  const cross = model === 'moved' ? oldByNewModel(versions) : null;
  const reviews: FormulaReview[] = [];
  let untouched = 0;
  for (const pairing of pairings(versions, changes, model, unread)) {
    const one = kept && !cross ? kept.formula(pairing) : reviewFormula(versions, pairing, cross);
    if (tellsSomething(one, pairing.renamed)) reviews.push(one);
    else untouched++;
  }
  return {
    shop: shopOf(after.book).name,
    before: before.label,
    after: after.label,
    beforeCommit: before.commit,
    afterCommit: after.commit,
    commits,
    formulas: reviews.sort(gravestFirst),
    unread: allUnread(unread),
    entries: changes.filter(({ name }) => !name.startsWith('formula:')).map((one) => entryReview(versions, one)),
    untouched,
    model,
    notes: [...conflictNotes(after), ...(reviews.length > 0 || changes.some(teaches) ? notesOf(versions, model) : [])],
  };
}

/** Cards and what is on them: the toners may be learned otherwise from them. */
const teaches = ({ name }: EntryChange): boolean => /^(sprayout|drawdown|toner):/.test(name);

/** Readings that say the same but whose named file does not. */
function importChanges({ before, after }: Versions): Changed[] {
  const found: Changed[] = [];
  for (const kind of ['reading', 'sprayout', 'drawdown'] as const) {
    for (const cell of after.book.ofKind(kind)) {
      const name = text(linesOf(cell.entry, 'file')[0], 'file');
      const uri = name === undefined ? undefined : importUri(cell.file.uri, name);
      const other = cell.name && before.book.named(cell.name)[0];
      if (!uri || !other || !cell.name || text(linesOf(other.entry, 'file')[0], 'file') !== name) continue;
      const path = pathOf(uri);
      if (before.beside.get(path)?.id === after.beside.get(path)?.id) continue;
      found.push({ is: 'changed', name: cell.name, from: cell.name, before: other, after: cell, words: ['file'] });
    }
  }
  return found;
}

export function modelOf({ before, after }: Versions): Model {
  const [old, now] = [before.book.fits.peek(), after.book.fits.peek()];
  if (old.size === 0 && now.size === 0) return 'none';
  const alike = (a: Learned | undefined, b: Learned): boolean => a !== undefined && sameFit(a, b);
  return old.size === now.size && [...now].every(([name, fit]) => alike(old.get(name), fit)) ? 'same' : 'moved';
}

/** Predictions of the old formulas as the new fit makes them. */
function oldByNewModel({ before, after }: Versions): OldByNewModel {
  return (cell) =>
    withFits(before.book, after.book.fits.peek(), () => {
      const found = expectedIn(before.book, cell);
      return 'none' in found ? null : found;
    });
}

function* pairings(
  { before, after }: Versions,
  changes: readonly EntryChange[],
  model: Model,
  unread: Unread,
): Generator<Pairing> {
  const named = changesByName(changes);
  const reached = reachedFormulas(before.book, after.book, changes);
  if (model === 'moved')
    for (const book of [before.book, after.book]) for (const id of book.ids('formula')) reached.add(id);
  // Lines of a conflict say nothing yet, so that their entry seems to be as it was.
  for (const name of unread.keys()) if (name.startsWith('formula:')) reached.add(name.slice('formula:'.length));
  for (const id of [...reached].sort()) {
    const pairing = pairingOf({ before, after }, id, named, model, unread);
    if (pairing) yield pairing;
  }
}

function entryReview({ before, after }: Versions, change: EntryChange): EntryReview {
  return {
    entry: shown(change),
    was: change.is,
    from: change.is === 'renamed' ? change.from.slice(change.from.indexOf(':') + 1) : null,
    words: change.is === 'changed' || change.is === 'renamed' ? change.words : [],
    place: change.is === 'removed' ? before.placeOf(change.before) : after.placeOf(change.after),
  };
}

/** Grades, the gravest first. */
export const ORDER: readonly Grade[] = [
  'cannot be read',
  'cannot be mixed',
  'visible',
  'needs a spray-out',
  'new',
  'within tolerance',
  'gone',
  'no change in colour',
];

const unusable = ({ grade }: FormulaReview): boolean => grade === 'cannot be read' || grade === 'cannot be mixed';

const gravestFirst = (a: FormulaReview, b: FormulaReview): number =>
  Number(unusable(b)) - Number(unusable(a)) ||
  Number(b.callOuts.length > 0) - Number(a.callOuts.length > 0) ||
  ORDER.indexOf(a.grade) - ORDER.indexOf(b.grade) ||
  (b.shift?.angles[0]?.dE00 ?? 0) - (a.shift?.angles[0]?.dE00 ?? 0) ||
  inNumberOrder(a.id, b.id);

/** What is reviewed of such a file is half of a merge. */
const conflictNotes = ({ conflicts = [] }: Version): string[] =>
  conflicts.map(
    (path) => `a merge conflict is open in ${path}, and its lines are read on our side of it: resolve it first`,
  );

function notesOf(versions: Versions, model: Model): string[] {
  const { after } = versions;
  const notes = lightNotes(versions);
  if (model === 'none') notes.push('no optics.lock: nothing is predicted, only measured colours are told');
  if (model !== 'none' && unlearnedSamples(after.book).length > 0)
    notes.push('optics.lock is not of the cards as they are now: write it again with pourbook fit --write');
  if (model === 'moved') notes.push('optics.lock changed: part of a predicted shift may be the model, not the formula');
  return notes;
}

function lightNotes(versions: Versions): string[] {
  const light = lightMoved(versions);
  if (!light) return [];
  const [from, to] = [viewingText(light.from), viewingText(light.to)];
  const otherwise = meantOtherwise(versions);
  return [
    `the main light changed from ${from} to ${to}: figures before are told under the one, figures after under the other`,
    ...(otherwise > 0
      ? [
          `${otherwise} readings and cards have lab lines that name no light: they were read under ${from} and would count as read under ${to} from now on. Here they are taken as they were read. Write the light on them, such as lab 45/0 ${from} 50.00 0.00 0.00`,
        ]
      : []),
  ];
}
