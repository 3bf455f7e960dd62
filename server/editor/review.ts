/** `pourbook/review`: what a change to the book does to the paint, for the panel beside the text. */
import { RequestType } from 'vscode-languageserver';
import { decodeBook } from '../book/decode.ts';
import { LOCK_NAME, lockText, readLock } from '../book/optics/lock.ts';
import { fitName } from '../book/optics/optics.ts';
import { reviewMarkdown } from '../report/markdown/review.ts';
import {
  angleFigures,
  entryText,
  type Fact,
  type Figures,
  factsOf,
  reasonOf,
  remarksOf,
  shiftCaption,
  sumOf,
  tonerFigures,
  tonersCaption,
  tonersDiffer,
  unreadTexts,
  unreadTitle,
} from '../report/review-facts.ts';
import { gradeLine } from '../report/review-line.ts';
import type { FormulaReview } from '../review/formula.ts';
import { type EntryReview, type Review, review } from '../review/review.ts';
import type { Since } from '../review/since.ts';
import type { CommitHead, Source, SourceBytes, SourceFile } from '../review/source.ts';
import type { Place } from '../review/versions.ts';
import { openVersions } from '../review/versions.ts';
import { type Base, bytesOf, type GivenVersion, NOW, pathBelow } from './bases.ts';
import type { Ports } from './ports.ts';
import { normalUri } from './uri.ts';
import type { Shelf } from './workspace.ts';

export interface ReviewParams {
  readonly folder: string;
  /** Nothing: the version that the book is compared with anyway. */
  readonly before?: GivenVersion;
  /** Nothing: the files as they are in the editor. */
  readonly after?: GivenVersion;
  /** Between two versions that are not the one that the book is compared with anyway. */
  readonly commits?: readonly CommitHead[];
}

export interface ReviewPanel {
  readonly title: string;
  readonly sum: string;
  readonly notes: readonly string[];
  readonly rows: readonly ReviewRow[];
  readonly entries: readonly { readonly entry: string; readonly text: string; readonly place: PanelPlace }[];
  readonly markdown: string;
}

export interface PanelPlace extends Place {
  readonly uri: string;
  /** In which of the two versions it stands. */
  readonly version: 'before' | 'after';
}

export interface ReviewRow {
  readonly id: string;
  readonly name: string;
  readonly line: string;
  readonly status: string;
  readonly place: PanelPlace;
  readonly sentence: string;
  readonly callOuts: readonly string[];
  readonly reason: string;
  readonly facts: readonly Fact[];
  readonly remarks: readonly string[];
  readonly tables: readonly ({ readonly caption: string } & Figures)[];
}

export const reviewRequest = new RequestType<ReviewParams, ReviewPanel | { readonly problem: string }, void>(
  'pourbook/review',
);

/** Against the version that the editor compares with anyway. */
export async function reviewSinceBase(
  shelf: Shelf,
  base: Base,
  ports: Ports,
  settle: (since: Since) => Promise<void>,
): Promise<ReviewPanel> {
  const since = await base.since();
  if (since) {
    since.all();
    await settle(since);
  }
  const found = since?.all() ?? nothingSince(base);
  return panelOf(shelf, { ...found, notes: [...found.notes, ...(await unrecorded(shelf, found, ports))] });
}

const nothingSince = ({ label, commit }: Base): Review => ({
  shop: '',
  before: label,
  after: NOW,
  beforeCommit: commit,
  afterCommit: null,
  commits: [],
  formulas: [],
  unread: [],
  entries: [],
  untouched: 0,
  model: 'same',
  notes: [],
});

/** Others see the same figures only where they are predicted by what is recorded. */
async function unrecorded({ book, folder }: Shelf, { formulas }: Review, ports: Ports): Promise<string[]> {
  if (!formulas.some(({ shift }) => shift?.basis === 'predicted')) return [];
  const bytes = await ports.readFile(`${folder}${LOCK_NAME}`).catch(() => undefined);
  const recorded = new Map((bytes ? readLock(decodeBook(bytes)) : []).map((fit) => [fitName(fit), fit.key]));
  if ([...book.fits.peek()].every(([name, { key }]) => recorded.get(name) === key)) return [];
  return [
    'predicted from the cards as they stand in the editor: record that with pourbook fit --write, so that it comes out the same for everyone',
  ];
}

/** Any two versions of the book. */
export async function reviewVersions(
  shelf: Shelf,
  before: GivenVersion,
  after: GivenVersion | undefined,
  commits: readonly CommitHead[],
  ports: Ports,
): Promise<ReviewPanel> {
  const sources = [before, after ?? { label: NOW, commit: null, files: [] }].map((given) =>
    sourceOf(shelf, given, ports),
  );
  return panelOf(shelf, review(await openVersions(sources[0]!, sources[1]!), commits));
}

function sourceOf(shelf: Shelf, { label, commit, files: differing }: GivenVersion, ports: Ports): Source {
  const given = new Map(differing.map(({ uri, base64 }) => [normalUri(uri), base64]));
  const files = new Map<string, SourceFile>();
  for (const [uri, { text }] of shelf.book.files)
    if (!given.has(uri)) files.set(pathBelow(shelf, uri), { id: `as it is ${uri}`, text });
  for (const [uri, base64] of given) {
    if (base64 === null || !uri.endsWith('.pour')) continue;
    const text = decodeBook(bytesOf(base64));
    files.set(pathBelow(shelf, uri), { id: text, text });
  }
  const beside = new Map<string, SourceBytes>();
  for (const uri of besideOf(shelf, files, given.keys())) {
    const base64 = given.get(uri);
    if (base64 === null) continue;
    const read = async () => (base64 === undefined ? ports.readFile(uri) : bytesOf(base64));
    beside.set(pathBelow(shelf, uri), { id: base64 ?? `as it is ${uri}`, read });
  }
  const learned = [...shelf.book.fits.peek().values()];
  if (!given.has(`${shelf.folder}${LOCK_NAME}`) && learned.length > 0)
    beside.set(LOCK_NAME, { id: 'as learned', read: async () => new TextEncoder().encode(lockText(learned)) });
  return { label, ...(commit === null ? {} : { commit }), files, beside };
}

/** Open-format files that may be named in the version. */
function besideOf(shelf: Shelf, files: ReadonlyMap<string, SourceFile>, given: Iterable<string>): Set<string> {
  const found = new Set([...shelf.book.importsNamed(), ...[...given].filter((uri) => !uri.endsWith('.pour'))]);
  for (const [path, { id, text }] of files) {
    if (id.startsWith('as it is ')) continue;
    for (const [, name] of text.matchAll(/^[ \t]+file[ \t]+"([^"]+)"/gm)) {
      const uri = new URL(name!.split('/').map(encodeURIComponent).join('/'), shelf.folder + encodeURI(path)).href;
      if (uri.startsWith(shelf.folder)) found.add(normalUri(uri));
    }
  }
  return found;
}

function panelOf(shelf: Shelf, found: Review): ReviewPanel {
  const placed = ({ place, was }: FormulaReview | EntryReview): PanelPlace => ({
    ...place,
    version: was === 'removed' ? 'before' : 'after',
    uri: shelf.folder + place.file.split('/').map(encodeURIComponent).join('/'),
  });
  return {
    title: `${found.after} against ${found.before}`,
    sum: sumOf(found),
    notes: [
      ...[unreadTitle(found)].filter(Boolean),
      ...unreadTexts(found).map((one) => one.replace(/\.$/, '')),
      ...found.notes,
    ],
    rows: found.formulas.map((one) => ({ ...rowOf(one, found), place: placed(one) })),
    entries: found.entries.map((one) => ({ entry: one.entry, text: entryText(one), place: placed(one) })),
    markdown: reviewMarkdown(found),
  };
}

function rowOf(one: FormulaReview, { entries }: Review): Omit<ReviewRow, 'place'> {
  const angles = angleFigures(one);
  return {
    id: one.id,
    name: one.name,
    line: gradeLine(one),
    status: (one.status.after ?? one.status.before ?? '').split(' ')[0]!,
    sentence: one.sentence,
    callOuts: one.callOuts.map(({ text }) => text),
    reason: reasonOf(one, entries),
    facts: factsOf(one),
    remarks: remarksOf(one),
    tables: [
      ...(tonersDiffer(one) ? [{ caption: tonersCaption(one), ...tonerFigures(one) }] : []),
      ...(angles ? [{ caption: `${shiftCaption(one)}, worst first`, ...angles }] : []),
    ],
  };
}
