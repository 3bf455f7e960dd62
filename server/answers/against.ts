/** What `show ID --against STANDARD` adds. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { shopOf } from '../book/known.ts';
import type { Viewing } from '../colour/viewing.ts';
import { likenessOf } from './likeness.ts';
import { type MeasuredColours, measuredColours, plainName } from './measured.ts';
import { metamerismOf, type ShownMetamerism } from './metamerism.ts';

export interface Against {
  /** The standard. */
  readonly against: string;
  /** The light under which the pair is made equal. */
  readonly reference: string;
  readonly metamerism: readonly ShownMetamerism[];
  /** What makes the figures doubtful, or why there are none. */
  readonly againstNotes: readonly string[];
}

export function againstOf(
  book: Book,
  sample: MeasuredColours,
  against: EntryCell,
  viewings: readonly Viewing[],
): Against {
  const standard = measuredColours(book, against);
  const reference = shopOf(book).viewings[0]!.illuminant;
  const metamerism = metamerismOf(standard.colours, sample.colours, reference, viewings);
  const { grave, remarks } = likenessOf(book, standard.of, sample.of);
  const none = metamerism.length > 0 ? [] : [whyNone(viewings, reference)];
  return { against: plainName(against), reference, metamerism, againstNotes: [...none, ...grave, ...remarks] };
}

function whyNone(viewings: readonly Viewing[], reference: string): string {
  return viewings.every(({ illuminant }) => illuminant === reference)
    ? `no metamerism: there is no light but ${reference} to test under; name others in the book's illuminants line or with --illuminant`
    : 'no metamerism: it needs spectra at one angle of both';
}
