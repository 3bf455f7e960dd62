/** The optics fits of a version. */
import type { Book } from '../book/book.ts';
import type { Learned } from '../book/optics/learn.ts';

export const hasFits = (book: Book): boolean => book.fits.peek().size > 0;

/** Reads something of a book as other fits make it; the book's own are put back. */
export function withFits<T>(book: Book, fits: ReadonlyMap<string, Learned>, read: () => T): T {
  const own = book.fits.peek();
  book.fits.set(fits);
  try {
    return read();
  } finally {
    book.fits.set(own);
  }
}
