/**
 * Requests as the protocol means them. A script or a broken editor may send a line that is no number; followed any further, such a place
 * compares as neither before nor behind anything, and loops that look for it find no end.
 */

/** Names under which the protocol sends a position. */
const POSITIONS: ReadonlySet<string> = new Set(['position', 'start', 'end']);

/** How deep positions lie at most: contentChanges, its element, range, start. */
const DEPTH = 5;

/** @throws TypeError for a position without a line and a character that are whole numbers from 0, or a change without a text. */
export function demandWellFormed(params: unknown, depth = 0): void {
  if (typeof params !== 'object' || params === null || depth > DEPTH) return;
  for (const [name, value] of Object.entries(params)) {
    if (POSITIONS.has(name)) demandPosition(name, value);
    else if (name === 'positions' && Array.isArray(value)) for (const one of value) demandPosition(name, one);
    else if (name === 'contentChanges') demandTexts(value, depth);
    else demandWellFormed(value, depth + 1);
  }
}

function demandPosition(name: string, value: unknown): void {
  const { line, character } = (value ?? {}) as { line?: unknown; character?: unknown };
  if (!isCount(line) || !isCount(character))
    throw new TypeError(`'${name}' is no position: a line and a character are whole numbers from 0`);
}

const isCount = (value: unknown): boolean => Number.isSafeInteger(value) && (value as number) >= 0;

function demandTexts(changes: unknown, depth: number): void {
  if (!Array.isArray(changes) || changes.some((one) => typeof one?.text !== 'string'))
    throw new TypeError("'contentChanges' is a list of changes, each with a text");
  for (const one of changes) demandWellFormed(one, depth + 1);
}
