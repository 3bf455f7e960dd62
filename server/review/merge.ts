/**
 * Two versions of a file that come from a third merged entry by entry, and inside an entry line by line: the rules are in merge.md.
 * Works on the lines as they were written, so that comments and layout stay.
 */
import { cut } from '../../grammar/cutter.ts';
import { parentOf } from '../book/book.ts';
import { type Chunk, mergeEntry } from './merge-entry.ts';
import { codeOf, itemsOf, linesOfText, nameOf } from './merge-items.ts';
import { combined } from './merge-order.ts';

export interface MergeConflict {
  /** `formula:SAM-31`. */
  readonly entry: string;
  readonly why: string;
}

export interface Merged {
  readonly text: string;
  readonly conflicts: readonly MergeConflict[];
  /** Formulas of which neither side has seen the paint as it is now. */
  readonly unseen: readonly string[];
}

export interface MergeOptions {
  readonly ours?: string;
  readonly theirs?: string;
  /** Characters of a conflict marker. */
  readonly marker?: number;
}

interface Unit {
  readonly name: string;
  readonly lines: readonly string[];
}

/** Written above the lines of a formula that was put together; taken out by whoever has looked at it. */
export const UNSEEN = '# merged: both sides changed what is poured; look at it, spray it out, then take this line out';

export function merge(base: string, ours: string, theirs: string, options: MergeOptions = {}): Merged {
  const clean = (text: string): Merged => ({ text, conflicts: [], unseen: [] });
  if (ours === theirs || theirs === base) return clean(ours);
  if (ours === base) return clean(theirs);
  const form = formOf(base, ours, theirs);
  const write = (chunks: readonly Chunk[]) => written(chunks, form, options);
  if (hasMarkers(ours) || hasMarkers(theirs)) {
    const why = 'a side has an open conflict';
    const all: Chunk = { is: 'conflict', why, ours: linesOfText(ours), theirs: linesOfText(theirs) };
    return { text: write([all]), conflicts: [{ entry: '', why }], unseen: [] };
  }
  return mergeFiles(base, ours, theirs, write);
}

const hasMarkers = (text: string): boolean => /^(<{7}|>{7})(?=[ \r\n]|$)/m.test(text);

function mergeFiles(base: string, ours: string, theirs: string, write: (chunks: readonly Chunk[]) => string): Merged {
  const o = unitsOf(base);
  const a = renamed(o, unitsOf(ours));
  const b = renamed(o, unitsOf(theirs));
  const [O, A, B] = [o, a, b].map((units) => new Map(units.map((unit) => [unit.name, unit.lines])));
  const chunks: Chunk[] = [];
  const conflicts: MergeConflict[] = [];
  const unseen: string[] = [];
  const names = (units: readonly Unit[]) => units.map(({ name }) => name);
  const relatives = unseenByParent(O!, A!, B!);
  for (const name of combined(names(o), names(a), names(b))) {
    const merged = mergeUnit(O!.get(name), A!.get(name), B!.get(name));
    for (const chunk of merged.chunks) if (chunk.is === 'conflict') conflicts.push({ entry: name, why: chunk.why });
    const flagged = merged.unseen || (relatives.has(name) && !merged.chunks.some(({ is }) => is === 'conflict'));
    if (flagged) unseen.push(name);
    chunks.push(...(flagged ? withRemark(merged.chunks) : merged.chunks));
  }
  return { text: write(chunks), conflicts, unseen };
}

/** What stands above the first entry of a file: comments about all of it. A name like any other, and never an empty one. */
const TOP = 'the top of the file';

/** The entries of a file as lines; the second of one name is told from the first by its number. */
function unitsOf(text: string): Unit[] {
  const seen = new Map<string, number>();
  return cut(text.startsWith(BOM) ? text.slice(1) : text).slices.map((slice) => {
    const lines = linesOfText(slice.text);
    const { entry } = itemsOf(lines);
    const name = nameOf(entry) || (entry.head ? codeOf(lines.slice(0, 1)) : '') || TOP;
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return { name: count === 1 ? name : `${name} #${count}`, lines };
  });
}

/** Share of its lines that an entry must have kept to be the same under another name. */
const ALIKE = 0.5;

/** Entries that a side gave another id are known by the old one while merging. */
function renamed(base: readonly Unit[], side: readonly Unit[]): Unit[] {
  const here = new Set(side.map(({ name }) => name));
  const there = new Set(base.map(({ name }) => name));
  const gone = base.filter(({ name }) => !here.has(name));
  if (gone.length === 0) return [...side];
  const taken = new Set<string>();
  return side.map((unit) => {
    if (there.has(unit.name)) return unit;
    const kind = kindOf(unit.name);
    const body = new Set(bodyOf(unit));
    const alike = (one: Unit) => {
      const other = bodyOf(one);
      return other.filter((line) => body.has(line)).length / Math.max(1, other.length, body.size);
    };
    const [best] = gone
      .filter((one) => kindOf(one.name) === kind && !taken.has(one.name))
      .map((one) => ({ one, share: alike(one) }))
      .sort((p, q) => q.share - p.share);
    if (!best || best.share <= ALIKE) return unit;
    taken.add(best.one.name);
    return { ...unit, name: best.one.name };
  });
}

const kindOf = (name: string): string => name.slice(0, Math.max(0, name.indexOf(':')));

const bodyOf = ({ lines }: Unit): string[] =>
  lines
    .filter((line) => /^[ \t]/.test(line))
    .map((line) => codeOf([line]))
    .filter(Boolean);

type Lines = readonly string[] | undefined;

function mergeUnit(o: Lines, a: Lines, b: Lines): { readonly chunks: readonly Chunk[]; readonly unseen: boolean } {
  const plain = (lines: readonly string[]) => ({ chunks: [{ is: 'text' as const, lines }], unseen: false });
  const same = (p: Lines, q: Lines) => p !== undefined && q !== undefined && p.join('\n') === q.join('\n');
  if (a && b) {
    if (same(a, b) || same(b, o)) return plain(a);
    if (same(a, o)) return plain(b);
    if (o) return mergeEntry(o, a, b);
    return {
      chunks: [{ is: 'conflict', why: 'both sides wrote an entry of this name', ours: a, theirs: b }],
      unseen: false,
    };
  }
  const left = a ?? b;
  if (!left) return { chunks: [], unseen: false };
  if (!o) return plain(left);
  if (same(left, o) || saysTheSame(left, o)) return { chunks: [], unseen: false };
  const why = 'one side took out the entry that the other changed (look whether it was moved to another file)';
  return { chunks: [{ is: 'conflict', why, ours: a ?? [], theirs: b ?? [] }], unseen: false };
}

/** But for blanks at the end, which come and go with the entry below. */
const saysTheSame = (a: readonly string[], b: readonly string[]): boolean =>
  a.join('\n').trimEnd() === b.join('\n').trimEnd();

/** A variant that one side changed, of a formula whose toners the other did. */
function unseenByParent(
  o: ReadonlyMap<string, readonly string[]>,
  ...sides: readonly ReadonlyMap<string, readonly string[]>[]
): Set<string> {
  const poured = (lines: Lines) =>
    lines
      ? itemsOf(lines)
          .items.filter(({ ordered }) => ordered)
          .map((item) => codeOf(item.lines))
          .join('\n')
      : '';
  const formulas = [...o.keys()].filter((name) => name.startsWith('formula:'));
  const [ours, theirs] = sides.map(
    (side) =>
      new Set(
        formulas.filter(
          (name) =>
            side.has(name) &&
            side.get(name) !== o.get(name) &&
            side.get(name)!.join('\n') !== o.get(name)!.join('\n') &&
            poured(side.get(name)) !== poured(o.get(name)),
        ),
      ),
  );
  const ancestors = (name: string): string[] => {
    const parent = parentOf(name.slice('formula:'.length));
    return parent === undefined ? [] : [`formula:${parent}`, ...ancestors(`formula:${parent}`)];
  };
  const found = new Set<string>();
  for (const name of [...ours!, ...theirs!]) {
    const others = ours!.has(name) ? theirs! : ours!;
    if (ancestors(name).some((one) => others.has(one))) found.add(name);
  }
  return found;
}

/** The remark stands below the head, once. */
function withRemark(chunks: readonly Chunk[]): Chunk[] {
  const lines = chunks.flatMap((chunk) => (chunk.is === 'text' ? chunk.lines : []));
  if (lines.some((line) => line.trim() === UNSEEN)) return [{ is: 'text', lines }];
  const head = lines.findIndex((line) => /^\p{L}/u.test(line));
  return [{ is: 'text', lines: [...lines.slice(0, head + 1), `  ${UNSEEN}`, ...lines.slice(head + 1)] }];
}

const BOM = '\uFEFF';

interface Form {
  readonly bom: boolean;
  readonly lineEnd: string;
  /** Does the last line end? */
  readonly ended: boolean;
}

/** What the side that changed it has: the byte order mark, the line ends, the end of the last line. */
function formOf(...texts: readonly [string, string, string]): Form {
  const merged = <T>(of: (text: string) => T): T => {
    const [o, a, b] = texts.map(of);
    return a === o ? b! : a!;
  };
  return {
    bom: merged((text) => text.startsWith(BOM)),
    lineEnd: merged(lineEndOf),
    ended: merged((text) => text === '' || text.endsWith('\n')),
  };
}

/** The one that most lines have. */
function lineEndOf(text: string): string {
  const windows = text.split('\r\n').length - 1;
  return windows * 2 > text.split('\n').length - 1 ? '\r\n' : '\n';
}

function written(chunks: readonly Chunk[], { bom, lineEnd, ended }: Form, options: MergeOptions): string {
  const { ours = 'ours', theirs = 'theirs', marker = 7 } = options;
  const lines = chunks.flatMap((chunk) =>
    chunk.is === 'text'
      ? chunk.lines
      : [
          `${'<'.repeat(marker)} ${ours}`,
          ...chunk.ours,
          '='.repeat(marker),
          ...chunk.theirs,
          `${'>'.repeat(marker)} ${theirs}`,
        ],
  );
  const conflict = chunks.some(({ is }) => is === 'conflict');
  return (bom ? BOM : '') + lines.join(lineEnd) + (lines.length > 0 && (ended || conflict) ? lineEnd : '');
}
