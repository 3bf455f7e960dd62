/**
 * One file of the book as a row of entries. An edit touches only the entries that it lies in: they are joined, changed and cut again;
 * the text of the whole file is never rebuilt. Positions are lines and UTF-16 units, as the language server protocol counts them.
 */
import { cut, type Side, type Slice } from '../../grammar/cutter.ts';
import type { ReadLines } from '../../grammar/read-lines.ts';
import { EntryCell } from './cell.ts';

export interface Position {
  readonly line: number;
  readonly character: number;
}

export interface Change {
  /** Nothing: the whole text is replaced. */
  readonly range?: { readonly start: Position; readonly end: Position };
  readonly text: string;
}

/** What an edit did to the row of entries. */
export interface Splice {
  readonly at: number;
  readonly removed: readonly EntryCell[];
  readonly added: readonly EntryCell[];
  /** Cells that were kept and given another text, or another place. */
  readonly touched: readonly EntryCell[];
}

export class BookFile {
  cells: EntryCell[] = [];
  /** First line and first offset of each cell, and one behind the last; recomputed lazily behind the last edit. */
  private lineStarts: number[] = [0];
  private offsets: number[] = [0];
  private counted = 0;

  constructor(
    readonly uri: string,
    text: string | readonly Slice[],
    private readonly known?: ReadLines,
  ) {
    const slices = typeof text === 'string' ? cut(text).slices : text;
    this.cells = slices.map((slice) => new EntryCell(this, slice, known));
  }

  get text(): string {
    return this.cells.map((cell) => cell.slice.text).join('');
  }

  get lineCount(): number {
    this.count(this.cells.length);
    return this.lineStarts[this.cells.length]! + 1;
  }

  /** Place of the cell in the row; -1 when it is not in this file. */
  indexOf(cell: EntryCell): number {
    this.count(this.cells.length);
    return this.cells[cell.index] === cell ? cell.index : -1;
  }

  /** Line on which the cell with this index begins. */
  lineOf(index: number): number {
    this.count(index);
    return this.lineStarts[index]!;
  }

  offsetOf(index: number): number {
    this.count(index);
    return this.offsets[index]!;
  }

  /** The cell in which a line lies; the last cell for lines beyond the end. */
  indexAtLine(line: number): number {
    this.count(this.cells.length);
    let low = 0;
    let high = this.cells.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.lineStarts[middle + 1]! <= line) low = middle + 1;
      else high = middle;
    }
    return Math.min(low, this.cells.length - 1);
  }

  /** Cell index and offset inside it; positions beyond a line's or the file's end are moved to that end. */
  locate(position: Position): { index: number; offset: number } {
    if (this.cells.length === 0) return { index: 0, offset: 0 };
    const index = this.indexAtLine(position.line);
    const { text } = this.cells[index]!.slice;
    let at = 0;
    for (let line = this.lineStarts[index]!; line < position.line; line++) {
      const newline = text.indexOf('\n', at);
      if (newline < 0) return { index, offset: text.length };
      at = newline + 1;
    }
    const newline = text.indexOf('\n', at);
    const end = newline < 0 ? text.length : text[newline - 1] === '\r' && newline > at ? newline - 1 : newline;
    return { index, offset: Math.min(at + Math.max(0, position.character), end) };
  }

  positionOf(index: number, offset: number): Position {
    const text = this.cells[index]?.slice.text ?? '';
    let line = this.lineOf(index);
    let at = 0;
    for (;;) {
      const newline = text.indexOf('\n', at);
      if (newline < 0 || newline >= offset) return { line, character: offset - at };
      line++;
      at = newline + 1;
    }
  }

  change(change: Change): Splice {
    const from = change.range ? this.locate(change.range.start) : { index: 0, offset: 0 };
    const to = change.range
      ? this.locate(change.range.end)
      : { index: this.cells.length - 1, offset: Number.MAX_SAFE_INTEGER };
    return this.replace(from, to, change.text);
  }

  /** The whole file becomes these entries. */
  become(slices: readonly Slice[]): Splice {
    return this.splice(0, this.cells.length, slices);
  }

  private replace(
    from: { index: number; offset: number },
    to: { index: number; offset: number },
    text: string,
  ): Splice {
    // One entry more on both sides: a comment block may change its owner, and a lost line end may join two entries.
    const first = Math.max(0, from.index - 1);
    let last = Math.min(this.cells.length, to.index + 2);
    const head =
      this.cells
        .slice(first, from.index)
        .map((cell) => cell.slice.text)
        .join('') + (this.cells[from.index]?.slice.text.slice(0, from.offset) ?? '');
    const tail =
      (this.cells[to.index]?.slice.text.slice(to.offset) ?? '') +
      this.cells
        .slice(to.index + 1, last)
        .map((cell) => cell.slice.text)
        .join('');
    const side: Side = this.cells[first]?.slice.side ?? 'none';
    let result = cut(head + text + tail, side);
    if (last < this.cells.length && result.side !== this.cells[last]!.slice.side) {
      // A conflict marker came or went: everything below is read on another side.
      const rest = this.cells
        .slice(last)
        .map((cell) => cell.slice.text)
        .join('');
      result = cut(head + text + tail + rest, side);
      last = this.cells.length;
    }
    return this.splice(first, last, result.slices);
  }

  private splice(first: number, last: number, slices: readonly Slice[]): Splice {
    const old = this.cells.slice(first, last);
    const kept = match(old, slices);
    const added: EntryCell[] = [];
    const touched: EntryCell[] = [];
    const now = slices.map((slice, index) => {
      const cell = kept[index];
      if (!cell) {
        const fresh = new EntryCell(this, slice, this.known);
        added.push(fresh);
        return fresh;
      }
      cell.slice = slice;
      touched.push(cell);
      return cell;
    });
    const still = new Set(now);
    this.cells.splice(first, last - first, ...now);
    this.counted = Math.min(this.counted, first);
    return { at: first, removed: old.filter((cell) => !still.has(cell)), added, touched };
  }

  private count(upTo: number): void {
    for (let index = this.counted; index < upTo; index++) {
      const cell = this.cells[index]!;
      cell.index = index;
      this.lineStarts[index + 1] = this.lineStarts[index]! + cell.lineBreaks;
      this.offsets[index + 1] = this.offsets[index]! + cell.slice.text.length;
    }
    this.counted = Math.max(this.counted, upTo);
  }
}

/** For each new slice the old cell that it continues: one with the same text, else the one at the same place of what is left. */
function match(old: readonly EntryCell[], slices: readonly Slice[]): (EntryCell | undefined)[] {
  const kept: (EntryCell | undefined)[] = slices.map(() => undefined);
  let start = 0;
  while (start < old.length && start < slices.length && unchanged(old[start]!, slices[start]!)) {
    kept[start] = old[start];
    start++;
  }
  let oldEnd = old.length;
  let newEnd = slices.length;
  while (oldEnd > start && newEnd > start && unchanged(old[oldEnd - 1]!, slices[newEnd - 1]!))
    kept[--newEnd] = old[--oldEnd];
  const byText = new Map<string, EntryCell[]>();
  for (const cell of old.slice(start, oldEnd))
    byText.set(cell.slice.text, [...(byText.get(cell.slice.text) ?? []), cell]);
  const left = new Set(old.slice(start, oldEnd));
  for (let index = start; index < newEnd; index++) {
    const cell = byText.get(slices[index]!.text)?.shift();
    if (cell && unchanged(cell, slices[index]!)) {
      kept[index] = cell;
      left.delete(cell);
    }
  }
  const rest = [...left];
  for (let index = start; index < newEnd; index++) kept[index] ??= rest.shift();
  return kept;
}

const unchanged = (cell: EntryCell, slice: Slice): boolean =>
  cell.slice.text === slice.text && cell.slice.side === slice.side;
