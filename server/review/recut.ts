/**
 * Cuts a text like an earlier one of the same file: entries that stand in both are the same objects, so that what changed is what only
 * one of them has, and the heads of the others are read once. The work beside that is comparing bytes.
 */
import { cut, entryAt, type Slice } from '../../grammar/cutter.ts';

/** How far an entry of the earlier text is looked for behind one that has changed, gone or come. */
const LOOKED_AHEAD = 8;

export interface Recut<P> {
  /** The entries of the text in their order. */
  readonly parts: P[];
  /** Those of them that the earlier text does not have at this place. */
  readonly come: P[];
  /** Entries of the earlier text that were not met again. */
  readonly gone: P[];
}

/** @param fresh makes what is kept of an entry that the earlier text does not have at this place. */
export function recut<P extends Slice>(text: string, earlier: readonly P[], fresh: (slice: Slice) => P): Recut<P> {
  const found: Recut<P> = { parts: [], come: [], gone: [] };
  /** The first of the earlier entries that was not met yet. */
  let next = 0;
  for (let at = 0; at < text.length; ) {
    // Text above the first head goes with it or not by what that is.
    const first = at === 0 && !entryAt(text, 0) ? -1 : standing(text, at, earlier, next);
    const last = first < 0 ? -1 : runFrom(text, at, earlier, first);
    if (first < 0 || last < first) {
      const part = fresh(cut(text, 'none', at, 1).slices[0]!);
      found.parts.push(part);
      found.come.push(part);
      at += part.text.length;
      continue;
    }
    for (; next < first; next++) found.gone.push(earlier[next]!);
    for (; next <= last; next++) {
      found.parts.push(earlier[next]!);
      at += earlier[next]!.text.length;
    }
  }
  for (; next < earlier.length; next++) found.gone.push(earlier[next]!);
  return found;
}

/** The entry of the earlier text whose text stands here. */
function standing(text: string, at: number, earlier: readonly Slice[], from: number): number {
  const most = Math.min(earlier.length, from + LOOKED_AHEAD);
  for (let index = from; index < most; index++) if (stands(earlier[index]!.text, text, at)) return index;
  return -1;
}

/** From this one, which stands here, the last of those that stand one behind the other and end where they did; one less where none does. */
function runFrom(text: string, at: number, earlier: readonly Slice[], first: number): number {
  let index = first;
  let end = at + earlier[index]!.text.length;
  while (end < text.length && index < earlier.length - 1) {
    const following = earlier[index + 1]!.text;
    if (!stands(following, text, end)) return entryAt(text, end) ? index : index - 1;
    // What begins an entry is told from its first line and the one below, which goes on here where the earlier text ended in it.
    const open = index + 1 === earlier.length - 1;
    if ((open || !hasBody(following)) && !entryAt(text, end)) return index - 1;
    index++;
    end += following.length;
  }
  // The last entry of a text may end in comments that belong to one that came behind it.
  return end === text.length ? index : index - 1;
}

/** A slice is compared by its bytes at once, where `startsWith` goes character by character. */
const stands = (part: string, text: string, at: number): boolean => text.slice(at, at + part.length) === part;

const hasBody = (text: string): boolean => text.includes('\n ') || text.includes('\n\t');
