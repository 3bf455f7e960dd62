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

const HEAD = /^\uFEFF?(\p{L}[^ \t\r\n"]*)(?:[ \t]+([^\s"#]+))?([^\n]*)/mu;
const OF = /[ \t]of[ \t]+(\S+)/;

export class Outline {
  readonly files = new Map<string, OutlineFile>();
  private ids: Map<string, Part[]> | undefined;
  private below: Map<string, Part[]> | undefined;
  private onto: Map<string, Part[]> | undefined;
  private mentions: Map<string, Part[]> | undefined;

  constructor(
    readonly source: Source,
    /** Another version; what both hold is cut once. */
    alike?: Outline,
  ) {
    const known = new Map([...(alike?.files.values() ?? [])].map((file) => [file.id, file]));
    for (const [path, file] of source.files)
      this.files.set(path, known.get(file.id) ?? outline(file, alike?.files.get(path)));
  }

  *parts(): Generator<Part> {
    for (const file of this.files.values()) yield* file.parts;
  }

  withId(id: string): readonly Part[] {
    this.ids ??= this.by(({ id }) => id);
    return this.ids.get(id) ?? [];
  }

  /** Variants of a formula and what was done with it: its cards and batches. */
  of(id: string): readonly Part[] {
    this.below ??= this.by(({ kind, id, of }) =>
      kind === 'variant' ? id?.slice(0, Math.max(0, id.lastIndexOf('/'))) : of,
    );
    return this.below.get(id) ?? [];
  }

  /** Formulas and variants that have this one as their coloured undercoat. */
  over(id: string): readonly Part[] {
    this.onto ??= this.indexed((part) => part.onto);
    return this.onto.get(id) ?? [];
  }

  /** Entries with a word that is this id; a few too many (the word of a note) do no harm. */
  mentioning(id: string): readonly Part[] {
    this.mentions ??= this.indexed((part) => (part.kind === 'reading' ? NO_KEYS : [...new Set(atomsOf(part))]));
    return this.mentions.get(id) ?? [];
  }

  private by(key: (part: Part) => string | undefined): Map<string, Part[]> {
    const found = new Map<string, Part[]>();
    for (const { parts } of this.files.values()) {
      for (const part of parts) {
        const own = key(part);
        if (own !== undefined) put(found, own, part);
      }
    }
    return found;
  }

  private indexed(keys: (part: Part) => readonly string[]): Map<string, Part[]> {
    const found = new Map<string, Part[]>();
    for (const { parts } of this.files.values()) {
      for (const part of parts) {
        const own = keys(part);
        if (own.length > 0) for (const key of own) put(found, key, part);
      }
    }
    return found;
  }
}

function put(found: Map<string, Part[]>, key: string, part: Part): void {
  const list = found.get(key);
  if (list) list.push(part);
  else found.set(key, [part]);
}

const COLOURED = /^[ \t]+undercoat[ \t]+formula[ \t]+(\S+)/gm;
const NO_KEYS: readonly string[] = [];

/** Everything in an entry that might be an id. */
export const atomsOf = (part: Part): string[] => part.text.normalize('NFC').match(/[^\s"]+/g) ?? [];

/** The line of the file on which each of its entries begins, from 0. */
export function linesOf({ parts }: OutlineFile): number[] {
  let line = 0;
  return parts.map(({ text }) => {
    const first = line;
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) line++;
    return first;
  });
}

function outline({ id, text }: SourceFile, earlier: OutlineFile | undefined): OutlineFile {
  const marked = /^(<{7}|>{7})(?=[ \r\n]|$)/m;
  const conflict = (text.includes('<<<<<<<') || text.includes('>>>>>>>')) && marked.test(text);
  if (earlier && !conflict && !earlier.conflict) return { id, parts: recut(text, earlier.parts, part), conflict };
  const { slices, side } = cut(text);
  return { id, parts: slices.map(part), conflict: conflict || side !== 'none' };
}

function part({ text, side }: Slice): Part {
  const [, kind, id, rest] = HEAD.exec(text) ?? [];
  const of = rest && OF.exec(rest)?.[1]?.normalize('NFC');
  // Only the few entries in which the word stands below the head are searched.
  const names = text.includes('formula', 'formula'.length) && (kind === 'formula' || kind === 'variant');
  const onto = names ? [...text.matchAll(COLOURED)].map((line) => line[1]!) : NO_KEYS;
  return { text, side, kind, id: id?.normalize('NFC'), of, onto };
}
