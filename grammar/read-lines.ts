/**
 * Lines that were read before. Two versions of a book say most lines alike; what is written alike below the same word is read once. Only
 * for texts that are read together and then let go: a list of all lines ever read would grow without end.
 */
import type { Line, Span, Value } from './tree.ts';
import type { EntryKind } from './words.ts';

/** In which kind of entry a line stands, or that it is a head: what is written alike there has one row of the table. */
export type Standing = EntryKind | 'head';

export class ReadLines {
  /** What is written with the line at each offset of an entry where it was met; entries of a book are laid out much alike. */
  private readonly lines = new Map<Standing, Map<string, Line[]>>();

  /** The line as it stands at this offset of an entry. */
  find(within: Standing, written: string, from: number): Line | undefined {
    const known = this.lines.get(within)?.get(written);
    if (!known) return undefined;
    for (let index = 0; index < known.length; index++) if (known[index]!.from === from) return known[index];
    const line = moved(known[0]!, from);
    if (known.length < MOST_OFFSETS) known.push(line);
    return line;
  }

  /** Only a line without a finding, and none that goes on below. */
  keep(within: Standing, written: string, line: Line): void {
    const known = this.lines.get(within);
    if (known) known.set(written, [line]);
    else this.lines.set(within, new Map([[written, [line]]]));
  }
}

/** Beyond these it takes longer to look for a line than to move one. */
const MOST_OFFSETS = 16;

/** The same line where it begins at another offset of its entry. */
function moved(line: Line, from: number): Line {
  const by = from - line.from;
  const { word, row, whole, comment } = line;
  const values = line.values.map((value) => movedValue(value, by));
  const words = line.words.map(({ text, from, to }) => ({ text, from: from + by, to: to + by }));
  const wordSpan = movedSpan(line.wordSpan, by);
  return {
    word,
    wordSpan,
    values,
    words,
    whole,
    from,
    to: line.to + by,
    ...(row && { row }),
    ...(comment && { comment: movedSpan(comment, by) }),
  };
}

const movedSpan = ({ from, to }: Span, by: number): Span => ({ from: from + by, to: to + by });

function movedValue(value: Value, by: number): Value {
  const { place, type, text, unit, unitSpan } = value;
  const own = { place, type, text, from: value.from + by, to: value.to + by };
  if (!unitSpan && unit === undefined) return own;
  return { ...own, ...(unit !== undefined && { unit }), ...(unitSpan && { unitSpan: movedSpan(unitSpan, by) }) };
}
