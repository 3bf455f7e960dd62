/**
 * A version of a book cut into entries and known by their heads alone, without parsing: enough to tell which entries a change can
 * touch at all, so that only these are parsed, however large the book.
 */
import { cut } from '../../grammar/cutter.ts';
import type { Source, SourceFile } from './source.ts';

export interface Part {
  readonly path: string;
  /** Line of the file on which it begins, from 0. */
  readonly line: number;
  readonly text: string;
  /** The word of its head; nothing for text above the first head. */
  readonly kind: string | undefined;
  readonly id: string | undefined;
  /** The formula of a card or batch, the toner of a let-down. */
  readonly of: string | undefined;
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
    /** Another version; files that both hold are cut once. */
    alike?: Outline,
  ) {
    const known = new Map<string, OutlineFile>();
    for (const [path, file] of alike?.files ?? []) known.set(`${path}\n${file.id}`, file);
    for (const [path, file] of source.files)
      this.files.set(path, known.get(`${path}\n${file.id}`) ?? outline(path, file));
  }

  *parts(): Generator<Part> {
    for (const file of this.files.values()) yield* file.parts;
  }

  withId(id: string): readonly Part[] {
    this.ids ??= indexed(this.parts(), ({ id }) => (id === undefined ? [] : [id]));
    return this.ids.get(id) ?? [];
  }

  /** Variants of a formula and what was done with it: its cards and batches. */
  of(id: string): readonly Part[] {
    this.below ??= indexed(this.parts(), (part) => {
      const parent = part.kind === 'variant' ? part.id?.slice(0, Math.max(0, part.id.lastIndexOf('/'))) : undefined;
      return [parent, part.of].filter((one) => one !== undefined);
    });
    return this.below.get(id) ?? [];
  }

  /** Formulas and variants that have this one as their coloured undercoat. */
  over(id: string): readonly Part[] {
    this.onto ??= indexed(this.parts(), ({ kind, text }) =>
      kind === 'formula' || kind === 'variant' ? [...text.matchAll(COLOURED)].map((line) => line[1]!) : [],
    );
    return this.onto.get(id) ?? [];
  }

  /** Entries with a word that is this id; a few too many (the word of a note) do no harm. */
  mentioning(id: string): readonly Part[] {
    this.mentions ??= indexed(this.parts(), (part) => (part.kind === 'reading' ? [] : new Set(atomsOf(part))));
    return this.mentions.get(id) ?? [];
  }
}

const COLOURED = /^[ \t]+undercoat[ \t]+formula[ \t]+(\S+)/gm;

/** Everything in an entry that might be an id. */
export const atomsOf = (part: Part): string[] =>
  (part.text.match(/[^\s"]+/g) ?? []).map((atom) => atom.normalize('NFC'));

function outline(path: string, { id, text }: SourceFile): OutlineFile {
  let line = 0;
  const { slices, side } = cut(text);
  const parts = slices.map((slice): Part => {
    const part = { path, line, text: slice.text, ...headOf(slice.text) };
    for (let at = slice.text.indexOf('\n'); at >= 0; at = slice.text.indexOf('\n', at + 1)) line++;
    return part;
  });
  const conflict = side !== 'none' || /^(<{7}|>{7})(?=[ \r\n]|$)/m.test(text);
  return { id, parts, conflict };
}

function headOf(text: string): Pick<Part, 'kind' | 'id' | 'of'> {
  const [, kind, id, rest] = HEAD.exec(text) ?? [];
  return { kind, id: id?.normalize('NFC'), of: OF.exec(rest ?? '')?.[1]?.normalize('NFC') };
}

function indexed(parts: Iterable<Part>, keys: (part: Part) => Iterable<string>): Map<string, Part[]> {
  const found = new Map<string, Part[]>();
  for (const part of parts) {
    for (const key of keys(part)) {
      const list = found.get(key);
      if (list) list.push(part);
      else found.set(key, [part]);
    }
  }
  return found;
}
