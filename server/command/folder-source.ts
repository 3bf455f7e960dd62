/** The version of a book that lies in a folder of the disk. */
import { createHash } from 'node:crypto';
import { readdir, readFile, stat } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import { decodeBook } from '../book/decode.ts';
import type { Source, SourceBytes, SourceFile } from '../review/source.ts';
import { NoBook } from './no-book.ts';
import { pourFiles } from './pour-files.ts';

/** @throws NoBook when there is no such folder. A folder without `.pour` files is an empty book. */
export async function sourceOfFolder(folder: string, label: string): Promise<Source> {
  const info = await stat(folder).catch(() => undefined);
  if (!info?.isDirectory()) throw new NoBook(`There is no folder ${label}.`);
  const files = new Map<string, SourceFile>();
  const folders = new Set<string>([folder]);
  for (const path of await pourFiles(folder)) {
    const bytes = await readFile(path);
    files.set(pathBelow(folder, path), { id: gitId(bytes), text: decodeBook(bytes) });
    folders.add(join(path, '..'));
  }
  return { label, files, beside: await besideOf(folder, folders) };
}

/** Files in the folders that hold a part of the book; readings name no others. */
async function besideOf(root: string, folders: ReadonlySet<string>): Promise<Map<string, SourceBytes>> {
  const found = new Map<string, SourceBytes>();
  for (const folder of folders) {
    for (const entry of await readdir(folder, { withFileTypes: true })) {
      if (!entry.isFile() || entry.name.endsWith('.pour')) continue;
      const path = join(folder, entry.name);
      const bytes = await readFile(path);
      found.set(pathBelow(root, path), { id: gitId(bytes), read: async () => bytes });
    }
  }
  return found;
}

const pathBelow = (root: string, path: string): string => relative(root, path).split(sep).join('/');

/** Git's name of a blob, so that files of a commit and of the disk can be told to be the same. */
const gitId = (bytes: Uint8Array): string =>
  createHash('sha1').update(`blob ${bytes.length}\0`).update(bytes).digest('hex');
