/** Where the files of a book lie. */
import type { Dirent } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { isPassedOver } from '../book/folders.ts';

/**
 * Paths of all `.pour` files below a folder, in order, but for those in folders that hold no book.
 * `orElse` says what stands for a folder that cannot be read; without it the error is thrown, so that nothing is passed over unseen.
 */
export async function pourFiles(folder: string, orElse?: (error: unknown) => Dirent[]): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: unknown) => {
    if (orElse) return orElse(error);
    throw error;
  });
  const found: string[] = [];
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && !isPassedOver(entry.name)) found.push(...(await pourFiles(path, orElse)));
    else if (entry.isFile() && entry.name.endsWith('.pour')) found.push(path);
  }
  return found;
}
