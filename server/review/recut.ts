/**
 * Cuts a text like an earlier one of the same file: entries that stand in both are the same objects, so that what changed is what only
 * one of them has, and the heads of the others are read once. The work beside that is comparing bytes.
 */
import { cut, entryAt, type Slice } from '../../grammar/cutter.ts';

/** How far an entry of the earlier text is looked for behind one that has changed, gone or come. */
const LOOKED_AHEAD = 8;

/** @param fresh makes what is kept of an entry that the earlier text does not have at this place. */
export function recut<P extends Slice>(text: string, earlier: readonly P[], fresh: (slice: Slice) => P): P[] {
  const parts: P[] = [];
  let next = 0;
  for (let at = 0; at < text.length; ) {
    // Text above the first head goes with it or not by what that is.
    const index = at === 0 && !entryAt(text, 0) ? -1 : found(text, at, earlier, next);
    const part = index < 0 ? fresh(cut(text, 'none', at, 1).slices[0]!) : earlier[index]!;
    if (index >= 0) next = index + 1;
    parts.push(part);
    at += part.text.length;
  }
  return parts;
}

/** The entry of the earlier text that stands here and ends here too. */
function found(text: string, at: number, earlier: readonly Slice[], from: number): number {
  const last = Math.min(earlier.length, from + LOOKED_AHEAD);
  for (let index = from; index < last; index++) {
    const part = earlier[index]!.text;
    if (!text.startsWith(part, at)) continue;
    const end = at + part.length;
    // The last entry of a text may end in comments that belong to one that came behind it.
    const endsHere = end === text.length || (index < earlier.length - 1 && entryAt(text, end));
    return endsHere ? index : -1;
  }
  return -1;
}
