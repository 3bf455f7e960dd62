/**
 * A version of a book cut into entries and known by their heads alone, without parsing: enough to tell which entries a change can
 * touch at all, so that only these are parsed, however large the book.
 */
import { cut, type Slice } from '../../grammar/cutter.ts';
import { recut } from './recut.ts';
import type { Source, SourceFile } from './source.ts';

/** An entry; two versions share those that stand in both. */
export interface Part extends Slice {
  /** The word of its head; nothing for text above the first head. */
  readonly kind: string | undefined;
  readonly id: string | undefined;
  /** The formula of a card or batch, the toner of a let-down. */
  readonly of: string | undefined;
  /** The formulas that a formula or variant has as coloured undercoats. */
  readonly onto: readonly string[];
}

export interface OutlineFile {
  readonly id: string;
  readonly parts: readonly Part[];
  /** An open merge conflict: such a file is taken whole. */
  readonly conflict: boolean;
}

const HEAD = /^\uFEFF?(\p{L}[^ \t\r\n"]*)(?:[ \t]+([^\s"#]+))?/mu;
const OF = /[ \t]of[ \t]+(\S+)/;

/** Entries by a key; most keys have one only. */
type ByKey = Map<string, Part | Part[]>;

/** Entries by what they are asked for. */
interface Index {
  readonly ids: ByKey;
  /** Variants, cards and batches by the formula, let-downs by the toner. */
  readonly below: ByKey;
  readonly onto: ByKey;
  /** All but formulas and variants, of which a book has by far the most, by their kinds. */
  readonly kinds: ByKey;
}

export class Outline {
  readonly files = new Map<string, OutlineFile>();
  /** Entries that the other version does not have where they stand, and those that stand there only in it; of no other version: all. */
  readonly come: Part[] = [];
  readonly gone: Part[] = [];
  private indexed: Index | undefined;
  private mentions: ByKey | undefined;
  private left: ReadonlySet<Part> | undefined;

  constructor(
    readonly source: Source,
    /** Another version; what both hold is cut and indexed once. */
    private readonly alike?: Outline,
  ) {
    const known = new Map([...(alike?.files.values() ?? [])].map((file) => [file.id, file]));
    for (const [path, file] of source.files) this.add(path, file, known.get(file.id), alike?.files.get(path));
    for (const [path, { parts }] of alike?.files ?? []) if (!source.files.has(path)) append(this.gone, parts);
  }

  private add(path: string, file: SourceFile, known: OutlineFile | undefined, earlier: OutlineFile | undefined): void {
    if (known && known === earlier) {
      this.files.set(path, known);
      return;
    }
    const conflict = inConflict(file.text);
    if (!known && earlier && !conflict && !earlier.conflict) {
      const { parts, come, gone } = recut(file.text, earlier.parts, part);
      this.files.set(path, { id: file.id, parts, conflict });
      append(this.come, come);
      append(this.gone, gone);
      return;
    }
    const whole = known ?? cutWhole(file, conflict);
    this.files.set(path, whole);
    append(this.come, whole.parts);
    append(this.gone, earlier?.parts ?? NO_PARTS);
  }

  *parts(): Generator<Part> {
    for (const file of this.files.values()) yield* file.parts;
  }

  withId(id: string): readonly Part[] {
    return this.asked('ids', id);
  }

  /** Variants of a formula and what was done with it: its cards and batches. */
  of(id: string): readonly Part[] {
    return this.asked('below', id);
  }

  /** Formulas and variants that have this one as their coloured undercoat. */
  over(id: string): readonly Part[] {
    return this.asked('onto', id);
  }

  /** Entries of a kind that is neither formula nor variant. */
  ofKind(kind: string): readonly Part[] {
    return this.asked('kinds', kind);
  }

  /** Entries with a word that is this id; a few too many (the word of a note) do no harm. */
  mentioning(id: string): readonly Part[] {
    this.mentions ??= mentionsIn(this.parts());
    return listed(this.mentions.get(id));
  }

  /** What another version found of the entries that both have, and the entries that only this one has. */
  private asked(by: keyof Index, key: string): readonly Part[] {
    this.indexed ??= indexOf(this.alike ? [this.come] : [...this.files.values()].map(({ parts }) => parts));
    const own = listed(this.indexed[by].get(key));
    if (!this.alike) return own;
    this.left ??= new Set(this.gone);
    const { left } = this;
    const shared = this.alike.asked(by, key);
    if (shared.length === 0) return own;
    const stayed = shared.filter((one) => !left.has(one));
    return own.length === 0 ? stayed : [...stayed, ...own];
  }
}

const NO_PARTS: readonly Part[] = [];

/** A file may have more entries than a call may have arguments. */
function append(list: Part[], parts: readonly Part[]): void {
  for (const part of parts) list.push(part);
}

const listed = (found: Part | Part[] | undefined): readonly Part[] =>
  found === undefined ? NO_PARTS : Array.isArray(found) ? found : [found];

function indexOf(lists: readonly (readonly Part[])[]): Index {
  const found: Index = { ids: new Map(), below: new Map(), onto: new Map(), kinds: new Map() };
  for (const parts of lists) for (const part of parts) addTo(found, part);
  return found;
}

function addTo(found: Index, part: Part): void {
  const { kind, id, of, onto } = part;
  if (id !== undefined) put(found.ids, id, part);
  if (of !== undefined) put(found.below, of, part);
  if (onto.length > 0) for (const formula of onto) put(found.onto, formula, part);
  if (kind === 'variant') put(found.below, id?.slice(0, Math.max(0, id.lastIndexOf('/'))) ?? '', part);
  else if (kind !== undefined && kind !== 'formula') put(found.kinds, kind, part);
}

function mentionsIn(parts: Iterable<Part>): ByKey {
  const found: ByKey = new Map();
  for (const part of parts)
    if (part.kind !== 'reading') for (const key of new Set(atomsOf(part.text))) put(found, key, part);
  return found;
}

function put(found: ByKey, key: string, part: Part): void {
  const known = found.get(key);
  if (known === undefined) found.set(key, part);
  else if (Array.isArray(known)) known.push(part);
  else found.set(key, [known, part]);
}

function ofIn(text: string, headFrom: number): string | undefined {
  const end = text.indexOf('\n', headFrom);
  return OF.exec(text.slice(headFrom, end < 0 ? text.length : end))?.[1]?.normalize('NFC');
}

const COLOURED = /^[ \t]+undercoat[ \t]+formula[ \t]+(\S+)/gm;
const NO_KEYS: readonly string[] = [];

/** Everything in a text that might be an id. */
export const atomsOf = (text: string): string[] => text.normalize('NFC').match(/[^\s"]+/g) ?? [];

/** The line of the file on which each of its entries begins, from 0. */
export function linesOf({ parts }: OutlineFile): number[] {
  let line = 0;
  return parts.map(({ text }) => {
    const first = line;
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) line++;
    return first;
  });
}

const MARKED = /^(<{7}|>{7})(?=[ \r\n]|$)/m;

const inConflict = (text: string): boolean =>
  (text.includes('<<<<<<<') || text.includes('>>>>>>>')) && MARKED.test(text);

function cutWhole({ id, text }: SourceFile, conflict: boolean): OutlineFile {
  const { slices, side } = cut(text);
  return { id, parts: slices.map(part), conflict: conflict || side !== 'none' };
}

function part({ text, side }: Slice): Part {
  const head = HEAD.exec(text);
  const kind = head?.[1];
  const id = head?.[2]?.normalize('NFC');
  if (kind !== 'formula' && kind !== 'variant')
    return { text, side, kind, id, of: head ? ofIn(text, head.index) : undefined, onto: NO_KEYS };
  // Only the few entries in which the word stands below the head are searched.
  const onto = text.includes('formula', 'formula'.length)
    ? [...text.matchAll(COLOURED)].map((line) => line[1]!)
    : NO_KEYS;
  return { text, side, kind, id, of: undefined, onto };
}
