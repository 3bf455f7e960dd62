/** Merge conflicts of a text, each with the edits that take our side or theirs; they may reach over several entries. */
import { type Side, sideAfter } from './cutter.ts';
import type { Edit } from './finding.ts';
import type { Span } from './tree.ts';

export interface Conflict extends Span {
  readonly ours: readonly Edit[];
  readonly theirs: readonly Edit[];
}

/** The conflicts that are closed in this text, in order. */
export function conflictsIn(text: string): Conflict[] {
  const found: Conflict[] = [];
  let side: Side = 'none';
  let from = 0;
  let ours: Edit[] = [];
  let theirs: Edit[] = [];
  for (let at = 0; at < text.length; ) {
    const newline = text.indexOf('\n', at);
    const end = newline < 0 ? text.length : newline + 1;
    const next = sideAfter(text.slice(at, Math.min(end, at + 8)), side);
    const away: Edit = { from: at, to: end, text: '' };
    if (next === 'ours') from = at;
    if (next !== undefined || side === 'base') {
      ours.push(away);
      theirs.push(away);
    } else if (side === 'ours') theirs.push(away);
    else if (side === 'theirs') ours.push(away);
    if (next === 'none') {
      found.push({ from, to: end, ours: joined(ours), theirs: joined(theirs) });
      ours = [];
      theirs = [];
    }
    side = next ?? side;
    at = end;
  }
  return found;
}

/** Neighbouring lines go in one edit. */
function joined(edits: readonly Edit[]): Edit[] {
  const result: Edit[] = [];
  for (const edit of edits) {
    const last = result.at(-1);
    if (last && last.to === edit.from) result[result.length - 1] = { from: last.from, to: edit.to, text: '' };
    else result.push(edit);
  }
  return result;
}
