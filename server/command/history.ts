import { resolve } from 'node:path';
import { InvalidArgumentError, Option } from 'commander';
import { Unanswerable } from '../answers/subject.ts';
import { decodeBook } from '../book/decode.ts';
import { historyHtml } from '../report/html/history.ts';
import { historyText } from '../report/text/history.ts';
import { type HistoryAnswer, type HistoryStep, outlineOf, type Tracked, textOf, tracked } from '../review/history.ts';
import { Outline } from '../review/outline.ts';
import { type PathPoint, pathPoint } from '../review/path.ts';
import { type Review, review } from '../review/review.ts';
import type { Source } from '../review/source.ts';
import { openVersions } from '../review/versions.ts';
import { blobs, commitOf, repositoryOf, shallowEnds, sourceOfTree } from './git.ts';
import { type Commit, commitsOf } from './log.ts';
import { type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly from: string;
  readonly limit?: number;
  readonly format: string;
  readonly angle: string;
}

const FORMATS: Readonly<Record<string, (found: HistoryAnswer, angle: string) => string>> = {
  text: historyText,
  html: historyHtml,
  json: (found) => JSON.stringify(found, null, 2),
};

/** `pourbook history ID`: every commit that changed what an entry means, through renames and moves to other files. */
export const historyVerb = (output: Output) =>
  verb('history', 'list every commit that changed what an entry means, with its toners and its colour')
    .argument('<id>', 'the id of a formula, a reading or another entry')
    .addOption(new Option('--format <format>', 'how it is written').choices(Object.keys(FORMATS)).default('text'))
    .option(
      '--angle <geometry>',
      'whose path is shown: an angle, worst (where the colour went furthest) or all',
      'worst',
    )
    .option('--from <commit>', 'where to begin', 'HEAD')
    .option('--limit <steps>', 'at most so many steps', (text) => {
      const steps = Number(text);
      if (!Number.isInteger(steps) || steps < 1) throw new InvalidArgumentError('Write a whole number, such as 10.');
      return steps;
    })
    .action(async (id: string, options: Options) => {
      const folder = resolve(output.folder, options.book);
      const { root, below } = await repositoryOf(folder);
      const from = await commitOf(folder, options.from);
      const found = await history(root, below, from, id, options.limit ?? Number.POSITIVE_INFINITY);
      output.out(FORMATS[options.json ? 'json' : options.format]!(found, options.angle).trimEnd());
    });

async function history(
  root: string,
  below: string,
  from: string,
  wanted: string,
  limit: number,
): Promise<HistoryAnswer> {
  const head = await sourceOfTree(root, below, from, 'HEAD');
  let entry = tracked(new Outline(head), wanted);
  if (!entry) throw new Unanswerable(`There is no entry '${wanted}' in this version of the book.`);
  const asked = entry.id;
  const steps: HistoryStep[] = [];
  let shop = '';
  let known: Source = head;
  let shallow = false;
  const ends = await shallowEnds(root);
  for (const commit of await commitsOf(root, from, below, { beside: true })) {
    if (steps.length >= limit) return { id: asked, shop, steps, cutOff: 'limit' };
    const [newer, now] = [known, entry];
    if (!(await touches(root, commit, now, () => textOf(new Outline(newer), now)))) continue;
    const after = await sourceOfTree(root, below, commit.hash, commit.hash, known);
    known = after;
    if (commit.parents.length > 1 && (await isInAnotherParent(root, below, commit, entry, after))) continue;
    const before = ends.has(commit.hash) ? 'not here' : await parentOf(root, below, commit, after);
    if (before === 'not here') {
      shallow = true;
      continue;
    }
    if (before !== EMPTY) known = before;
    const versions = await openVersions(before, after);
    const found = review(versions);
    shop ||= found.shop;
    const step = stepOf(commit, entry, found, pathPoint(versions.after.book, entry));
    if (step) steps.push(step);
    const earlier = step?.formula?.from ?? step?.entry?.from;
    if (earlier) entry = { ...entry, id: earlier };
  }
  return { id: asked, shop, steps, cutOff: shallow ? 'shallow' : null };
}

/** Do the files that the commit changed tell otherwise of the entry, what it derives from, or its cards, or do these name one of them? */
async function touches(root: string, { changes }: Commit, entry: Tracked, whole: () => string): Promise<boolean> {
  const ofBook = changes.filter(({ path }) => path.endsWith('.pour'));
  const beside = changes
    .filter((change) => !ofBook.includes(change))
    .map(({ path }) => path.slice(path.lastIndexOf('/') + 1));
  if (beside.length > 0 && beside.some((name) => whole().includes(name))) return true;
  const read = await blobs(
    root,
    ofBook.flatMap(({ before, after }) => [before, after].filter((id) => id !== undefined)),
  );
  const side = (of: (change: Commit['changes'][number]) => string | undefined) =>
    outlineOf(
      new Map(
        ofBook.flatMap((change) => {
          const id = of(change);
          const bytes = id === undefined ? undefined : read.get(id);
          return bytes && id ? [[change.path, { id, text: decodeBook(bytes) }] as const] : [];
        }),
      ),
    );
  return (
    textOf(
      side(({ before }) => before),
      entry,
    ) !==
    textOf(
      side(({ after }) => after),
      entry,
    )
  );
}

/** A merge that only takes over what one of its parents says is no change of its own. */
async function isInAnotherParent(
  root: string,
  below: string,
  commit: Commit,
  entry: Tracked,
  after: Source,
): Promise<boolean> {
  const now = textOf(new Outline(after), entry);
  for (const parent of commit.parents) {
    const source = await sourceOfTree(root, below, parent, parent, after).catch(() => undefined);
    if (source && textOf(new Outline(source), entry) === now) return true;
  }
  return false;
}

const EMPTY: Source = { label: 'nothing', files: new Map(), beside: new Map() };

async function parentOf(root: string, below: string, { parents }: Commit, known: Source): Promise<Source | 'not here'> {
  const [first] = parents;
  if (first === undefined) return EMPTY;
  return sourceOfTree(root, below, first, first, known).catch(() => 'not here' as const);
}

function stepOf(
  commit: Commit,
  { id, formula }: Tracked,
  found: Review,
  colour: PathPoint | null,
): HistoryStep | undefined {
  const own = formula ? found.formulas.find((one) => one.id === id) : undefined;
  const entry = formula ? undefined : found.entries.find((one) => one.entry.slice(one.entry.indexOf(' ') + 1) === id);
  if (!own && !entry) return undefined;
  const { hash, author, date, subject } = commit;
  return { commit: hash, author, date, subject, id, formula: own ?? null, entry: entry ?? null, colour };
}
