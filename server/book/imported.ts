/** Values that a reading takes from an open-format file (`file "sam-door.cgats"`), beside those written in its lines. */
import type { Book } from './book.ts';
import type { EntryCell } from './cell.ts';
import type { Measured } from './entries/measured.ts';

/** The uri of the named file, beside the file of the book. Absolute paths, other schemes and ways up (`..`) are refused. */
export function importUri(cell: EntryCell, name: string): string | undefined {
  if (!/^[^\\:*?"<>|]+$/.test(name) || name.startsWith('/') || name.split('/').includes('..')) return undefined;
  const folder = cell.file.uri.slice(0, cell.file.uri.lastIndexOf('/') + 1);
  return folder + name.split('/').map(encodeURIComponent).join('/');
}

export function importedInto(_book: Book, _cell: EntryCell, measured: Measured): Measured {
  return measured;
}
