/** optics.lock: the fits of a book as text beside it, so that predictions come out the same everywhere and git shows what moved. */
import type { Learned } from './learn.ts';
import { MODEL_VERSION } from './samples.ts';

export { LOCK_NAME } from './lock-name.ts';

interface Lock {
  readonly note: string;
  readonly model: number;
  readonly fits: readonly Learned[];
}

const NOTE =
  'Written by `pourbook fit --write` from the cards of the book. Do not edit; write it again after a card has changed.';

export function lockText(fits: readonly Learned[]): string {
  const sorted = [...fits].sort((a, b) => (`${a.system} ${a.side}` < `${b.system} ${b.side}` ? -1 : 1));
  const lock: Lock = { note: NOTE, model: MODEL_VERSION, fits: sorted };
  return `${printed(lock, '')}\n`;
}

/** JSON with a line for each figure and for each list of figures, so that a changed toner is a changed line. */
function printed(value: unknown, indent: string): string {
  const deeper = `${indent}  `;
  if (Array.isArray(value)) {
    if (value.every((one) => typeof one !== 'object' || one === null)) return JSON.stringify(value);
    return `[\n${value.map((one) => deeper + printed(one, deeper)).join(',\n')}\n${indent}]`;
  }
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const entries = Object.entries(value).filter(([, one]) => one !== undefined);
  const flat = entries.every(([, one]) => typeof one !== 'object' || one === null);
  if (flat && entries.every(([, one]) => String(one).length < 60)) return JSON.stringify(Object.fromEntries(entries));
  const lines = entries.map(([key, one]) => `${deeper}${JSON.stringify(key)}: ${printed(one, deeper)}`);
  return `{\n${lines.join(',\n')}\n${indent}}`;
}

/** The fits of a lock file; none when it is of another model or was spoiled (by a merge, say): the book is then learned again. */
export function readLock(text: string): readonly Learned[] {
  try {
    const lock = JSON.parse(text) as Partial<Lock>;
    if (lock.model !== MODEL_VERSION || !Array.isArray(lock.fits)) return [];
    return lock.fits.filter((fit) => typeof fit?.key === 'string' && typeof fit.fit === 'object');
  } catch {
    return [];
  }
}
