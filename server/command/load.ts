/** Reads a book from a folder of the disk. */
import { readFile, stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Book } from '../book/book.ts';
import { decodeBook, LARGEST } from '../book/decode.ts';
import { NoBook } from './no-book.ts';
import { pourFiles } from './pour-files.ts';

/** @throws NoBook when the folder is not there or holds no `.pour` file. */
export async function loadBook(folder: string): Promise<Book> {
  const root = resolve(folder);
  const info = await stat(root).catch(() => undefined);
  if (!info?.isDirectory()) throw new NoBook(`There is no folder ${folder}. Name the folder of the book with --book.`);
  const paths = await pourFiles(root);
  if (paths.length === 0)
    throw new NoBook(`The folder ${folder} holds no .pour file. Name the folder of the book with --book.`);
  const book = new Book();
  for (const path of paths) {
    const { size } = await stat(path);
    if (size > LARGEST)
      throw new NoBook(
        `'${path}' has ${Math.ceil(size / 1e6)} MB; a file of a book has at most ${LARGEST / 1e6} MB. Part it into several files.`,
      );
    book.setFile(pathToFileURL(path).href, decodeBook(await readFile(path)));
  }
  await loadImports(book);
  book.loaded.set(true);
  return book;
}

/** Puts in the open-format files that readings name, until no new one is asked for. */
async function loadImports(book: Book): Promise<void> {
  for (const uri of book.importsNamed()) {
    const bytes = await readFile(new URL(uri)).catch(() => undefined);
    book.setImportedFile(uri, bytes);
  }
}
