/** Where the files of a book lie. */
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { isPassedOver } from '../book/folders.ts';

/** A folder that cannot be read as a book; the message says why. */
export class NoBook extends Error {}

/** Paths of all `.pour` files below a folder, in order, but for those in folders that hold no book. */
export async function pourFiles(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const found: string[] = [];
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && !isPassedOver(entry.name)) found.push(...(await pourFiles(path)));
    else if (entry.isFile() && entry.name.endsWith('.pour')) found.push(path);
  }
  return found;
}
