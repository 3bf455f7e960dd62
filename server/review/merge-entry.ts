/** Two edits of one entry merged line by line; what belongs together by the rules is written once, the rest between conflict markers. */
import { codeOf, type Item, itemsOf, splitComment } from './merge-items.ts';
import { combined, orderOf, threeWay } from './merge-order.ts';

export type Chunk =
  | { readonly is: 'text'; readonly lines: readonly string[] }
  | {
      readonly is: 'conflict';
      readonly why: string;
      readonly ours: readonly string[];
      readonly theirs: readonly string[];
    };

export interface MergedEntry {
  readonly chunks: readonly Chunk[];
  /** Both sides changed the toner lines and they were put together: a paint that nobody has written as a whole. */
  readonly unseen: boolean;
}

type Row = readonly Item[];

export function mergeEntry(base: readonly string[], ours: readonly string[], theirs: readonly string[]): MergedEntry {
  const o = itemsOf(base).items;
  const a = paired(o, itemsOf(ours).items);
  const b = paired(o, itemsOf(theirs).items);
  const whole = (why: string): MergedEntry => ({ chunks: [{ is: 'conflict', why, ours, theirs }], unseen: false });
  if (orderIsUnclear(o, a, b)) return whole('both sides changed the order of pouring');
  const merged = mergeRows(o, a, b);
  const conflict = merged.some(({ is }) => is === 'conflict');
  return { chunks: merged, unseen: !conflict && isUnseen(merged, a, b) };
}

/** Pours what neither side does. */
function isUnseen(merged: readonly Chunk[], a: Row, b: Row): boolean {
  if (toners(a) === toners(b)) return false;
  const poured = toners(itemsOf(merged.flatMap((chunk) => (chunk.is === 'text' ? chunk.lines : []))).items);
  return poured !== toners(a) && poured !== toners(b);
}

const toners = (row: Row): string =>
  row
    .filter(({ ordered }) => ordered)
    .map(({ lines }) => codeOf(lines))
    .join('\n');

/**
 * Lines that may stand as often as wanted have no key of their own. One that went where another of its word came, between the same
 * neighbours, was edited: it is given the key of the one that went.
 */
function paired(base: Row, side: Row): Row {
  const here = new Set(side.map(({ key }) => key));
  const there = new Set(base.map(({ key }) => key));
  const gone = gaps(
    base,
    (item) => item.free && !here.has(item.key),
    (item) => here.has(item.key),
  );
  const come = gaps(
    side,
    (item) => item.free && !there.has(item.key),
    (item) => there.has(item.key),
  );
  const keys = new Map<Item, string>();
  for (const [gap, items] of come) {
    const old = gone.get(gap) ?? [];
    for (const [index, item] of items.entries()) if (old[index]) keys.set(item, old[index].key);
  }
  return side.map((item) => ({ ...item, key: keys.get(item) ?? item.key }));
}

/** Items of a kind by the last item before them that both versions have, and their word. */
function gaps(row: Row, wanted: (item: Item) => boolean, anchors: (item: Item) => boolean): Map<string, Item[]> {
  const found = new Map<string, Item[]>();
  let anchor = '';
  for (const item of row) {
    if (anchors(item)) anchor = item.key;
    if (!wanted(item)) continue;
    const gap = `${item.word}\u0000${anchor}`;
    found.set(gap, [...(found.get(gap) ?? []), item]);
  }
  return found;
}

/** Both moved ordered lines otherwise, or one did while the other brought new ones in. */
function orderIsUnclear(o: Row, a: Row, b: Row): boolean {
  const ordered = (row: Row) => row.filter((item) => item.ordered);
  const common = commonKeys(ordered(o), ordered(a), ordered(b));
  const sequence = (row: Row) =>
    row
      .filter(({ key }) => common.has(key))
      .map(({ key }) => key)
      .join('\n');
  const known = new Set(o.map(({ key }) => key));
  const places = (row: Row) => {
    const now = ordered(row);
    return new Map(
      now.map((item, index) => [item.key, now.slice(0, index).findLast(({ key }) => common.has(key))?.key]),
    );
  };
  const [pa, pb] = [places(a), places(b)];
  if ([...pa].some(([key, anchor]) => !known.has(key) && pb.has(key) && pb.get(key) !== anchor)) return true;
  const adds = (row: Row) => ordered(row).some(({ key }) => !known.has(key));
  const [so, sa, sb] = [sequence(o), sequence(a), sequence(b)];
  if (sa !== so && sb !== so) return sa !== sb;
  return (sa !== so && adds(b)) || (sb !== so && adds(a));
}

function commonKeys(...rows: readonly Row[]): Set<string> {
  const [first, ...others] = rows.map((row) => new Set(row.map(({ key }) => key)));
  return new Set([...first!].filter((key) => others.every((keys) => keys.has(key))));
}

function mergeRows(o: Row, a: Row, b: Row): Chunk[] {
  const [O, A, B] = [o, a, b].map((row) => new Map(row.map((item) => [item.key, item])));
  const clash = orderedAtOnePlace(O!, o, a, b);
  const chunks: Chunk[] = [];
  const order = combined(orderOf(o, keyOfItem), orderOf(a, keyOfItem), orderOf(b, keyOfItem));
  for (const key of order) {
    const place = clash.get(key);
    if (place === 'told') continue;
    if (place) chunks.push(place);
    else chunks.push(...mergeItem(O!.get(key), A!.get(key), B!.get(key)));
  }
  return chunks;
}

const keyOfItem = ({ key }: Item): string => key;

/**
 * Ordered lines that both sides brought in between the same neighbours: nobody can say which is poured first. Told at the first of them.
 */
function orderedAtOnePlace(known: ReadonlyMap<string, Item>, o: Row, a: Row, b: Row): Map<string, Chunk | 'told'> {
  const found = new Map<string, Chunk | 'told'>();
  const common = commonKeys(o, a, b);
  const anchors = (item: Item) => item.ordered && common.has(item.key);
  const come = (row: Row) => {
    const items = new Map<string, Item[]>();
    let anchor = '';
    for (const item of row) {
      if (anchors(item)) anchor = item.key;
      else if (item.ordered && !known.has(item.key)) items.set(anchor, [...(items.get(anchor) ?? []), item]);
    }
    return items;
  };
  const theirs = come(b);
  for (const [anchor, ours] of come(a)) {
    const other = theirs.get(anchor);
    if (!other || sameItems(ours, other)) continue;
    const lines = (items: readonly Item[]) => items.flatMap((item) => [...item.lead, ...item.lines]);
    for (const item of [...ours, ...other]) found.set(item.key, 'told');
    const first = [...ours, ...other][0]!;
    found.set(first.key, {
      is: 'conflict',
      why: 'both sides brought lines in at one place of the pour order',
      ours: lines(ours),
      theirs: lines(other),
    });
  }
  return found;
}

const sameItems = (a: readonly Item[], b: readonly Item[]): boolean =>
  a.map(({ lines }) => codeOf(lines)).join('\n') === b.map(({ lines }) => codeOf(lines)).join('\n');

function mergeItem(o: Item | undefined, a: Item | undefined, b: Item | undefined): Chunk[] {
  if (!a && !b) return [];
  if (!a || !b) {
    const left = (a ?? b)!;
    if (!o) return [text([...left.lead, ...left.lines])];
    // One side took the line out; had the other changed it?
    if (sameText(o, left)) return [];
    return [conflict(`one side took out what the other changed (${named(left)})`, a, b)];
  }
  const lead = mergeLead(o?.lead, a.lead, b.lead);
  const lines = mergeLines(o?.lines, a.lines, b.lines);
  if (lead && lines) return [text([...lead, ...lines])];
  if (lead) return [text(lead), conflict(`both sides changed ${named(a)}`, { ...a, lead: [] }, { ...b, lead: [] })];
  return [conflict(lines ? 'both sides changed a comment' : `both sides changed ${named(a)}`, a, b)];
}

const named = ({ key, word }: Item): string =>
  key === 'head'
    ? 'the head of the entry'
    : key === 'end'
      ? 'the end of the entry'
      : key.startsWith('toner ')
        ? key.replace(/ +/g, ' ')
        : word;

const text = (lines: readonly string[]): Chunk => ({ is: 'text', lines });

const conflict = (why: string, a: Item | undefined, b: Item | undefined): Chunk => {
  const lines = (item: Item | undefined) => (item ? [...item.lead, ...item.lines] : []);
  return { is: 'conflict', why, ours: lines(a), theirs: lines(b) };
};

const sameText = (a: Item, b: Item): boolean => codeOf(a.lines) === codeOf(b.lines) && comments(a) === comments(b);

const comments = ({ lead, lines }: Item): string =>
  [...lead, ...lines.map((line) => splitComment(line).comment)]
    .map((line) => line.trim())
    .filter(Boolean)
    .join('\n');

/** Comments above a line; of two ways to set empty lines the wider one. */
function mergeLead(
  o: readonly string[] = [],
  a: readonly string[],
  b: readonly string[],
): readonly string[] | undefined {
  const said = (lines: readonly string[]) =>
    lines
      .map((line) => line.trim())
      .filter(Boolean)
      .join('\n');
  const written = threeWay(o.join('\n'), a.join('\n'), b.join('\n'));
  if (written !== undefined) return written === a.join('\n') ? a : b;
  const chosen = threeWay(said(o), said(a), said(b));
  if (chosen === undefined) return undefined;
  return [a, b]
    .filter((side) => said(side) === chosen)
    .sort((p, q) => q.length - p.length || (p.join('\n') < q.join('\n') ? -1 : 1))[0];
}

/** The line by what it says, and its comment by itself. Undefined: both changed the same of it. */
function mergeLines(
  o: readonly string[] = [],
  a: readonly string[],
  b: readonly string[],
): readonly string[] | undefined {
  const lines = threeWay(o.join('\n'), a.join('\n'), b.join('\n'));
  if (lines !== undefined) return lines === a.join('\n') ? a : b;
  const code = threeWay(codeOf(o), codeOf(a), codeOf(b));
  const remark = threeWay(remarks(o), remarks(a), remarks(b));
  if (code === undefined || remark === undefined) return undefined;
  if (a.length === 1 && b.length === 1) {
    const [sa, sb] = [splitComment(a[0]!), splitComment(b[0]!)];
    const written = pick(code, codeOf(o), [codeOf(a), sa.code], [codeOf(b), sb.code]);
    return [written + pick(remark, remarks(o), [remarks(a), sa.comment], [remarks(b), sb.comment])];
  }
  // Of a list over several lines only a whole side can be taken.
  return [a, b].find((side) => codeOf(side) === code && remarks(side) === remark);
}

const remarks = (lines: readonly string[]): string =>
  lines
    .map((line) => splitComment(line).comment.trim())
    .join('\n')
    .trim();

/** How the chosen meaning is written: by the side that changed it; where neither did, or both alike, the same whichever side is ours. */
function pick(chosen: string, base: string, ...sides: readonly (readonly [string, string])[]): string {
  const fit = sides.filter(([meaning]) => meaning === chosen).map(([, written]) => written);
  const changed = sides.filter(([meaning]) => meaning === chosen && meaning !== base).map(([, written]) => written);
  return [...(changed.length > 0 ? changed : fit)].sort()[0]!;
}
