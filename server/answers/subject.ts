/** Finds the entry that a person names: `SAM-31`, or `formula:SAM-31` where several kinds share the id. */

import { nearest } from '../../grammar/nearest.ts';
import type { Namespace } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { Unanswerable } from '../book/unanswerable.ts';

export { Unanswerable } from '../book/unanswerable.ts';

export const SPACES: readonly Namespace[] = [
  'formula',
  'reading',
  'sprayout',
  'drawdown',
  'batch',
  'undercoat',
  'toner',
  'system',
  'instrument',
  'scale',
];

/** @throws Unanswerable when nothing or more than one kind has the id. */
export function subject(book: Book, wanted: string, spaces: readonly Namespace[] = SPACES): EntryCell {
  const colon = /^(\w+):(.+)$/.exec(wanted);
  const kind = colon && SPACES.find((space) => space === (colon[1] === 'variant' ? 'formula' : colon[1]));
  const id = kind ? colon[2]! : wanted;
  const allowed = kind ? spaces.filter((space) => space === kind) : spaces;
  const found = allowed.flatMap((space) => {
    const cell = book.find(space, id);
    return cell ? [{ space, cell }] : [];
  });
  if (found.length === 1) return found[0]!.cell;
  if (found.length > 1) {
    throw new Unanswerable(
      `'${id}' is the id of ${found.length} entries. Write one of: ${found.map(({ space }) => `${space}:${id}`).join(', ')}.`,
    );
  }
  const other = (kind ? [kind] : SPACES).find((space) => !spaces.includes(space) && book.find(space, id));
  if (other) throw new Unanswerable(`'${id}' is ${withArticle(other)}. Name ${oneOf(spaces)} here.`);
  const guess = nearest(
    id,
    allowed.flatMap((space) => [...book.ids(space)]),
  );
  const what = allowed.length === 1 ? allowed[0]! : 'entry';
  throw new Unanswerable(`There is no ${what} '${id}' in this book.${guess ? ` Did you mean '${guess}'?` : ''}`);
}

const withArticle = (space: Namespace): string => `${/^[aeiou]/.test(space) ? 'an' : 'a'} ${space}`;

const oneOf = (spaces: readonly Namespace[]): string =>
  spaces.length === 1
    ? withArticle(spaces[0]!)
    : `${spaces.slice(0, -1).map(withArticle).join(', ')} or ${withArticle(spaces.at(-1)!)}`;
