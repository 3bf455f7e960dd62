/** What of the book fits a place, the likeliest first. */
import type { AtCursor } from '../../grammar/at-cursor.ts';
import type { ValuePlace } from '../../grammar/place.ts';
import { type Line, lineOf, linesOf, text, value } from '../../grammar/tree.ts';
import type { Namespace, Row } from '../../grammar/words.ts';
import type { Book } from '../book/book.ts';
import { parentOf } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { inOrder } from './in-order.ts';

export interface RankedId {
  readonly id: string;
  readonly name: string | undefined;
}

/**
 * Ids that may stand here. First those of the formula that the entry goes back to (what can be poured for a batch, or taken from a
 * variant), then those of the entry's own paint system, the most used first. A line that may be said once for each id is not offered an
 * id that has its line already.
 */
export function rankedIds(book: Book, cell: EntryCell | undefined, at: AtCursor, place: ValuePlace): RankedId[] {
  const space = place.args[0] as Namespace;
  const near = cell && space === 'toner' ? tonersBefore(book, cell) : new Set<string>();
  const system = cell && space === 'toner' ? text(lineOf(cell.entry, 'system'), 'system') : undefined;
  const said = cell && at.row ? saidAlready(cell, at.row, at.line, place) : new Set<string>();
  const ranked = [...new Set(book.ids(space))]
    .filter((id) => inOrder(at.typed, id) && !said.has(id) && `${space}:${id}` !== cell?.name)
    .map((id) => {
      const entry = book.find(space, id)?.entry;
      const own = entry && text(lineOf(entry, 'system'), 'system');
      const isOther = system !== undefined && own !== undefined && own !== system;
      return {
        id,
        name: text(entry?.head, 'name'),
        group: near.has(id) ? 0 : isOther ? 2 : 1,
        uses: book.usersOf(`${space}:${id}`).size,
      };
    });
  return ranked.sort((a, b) => a.group - b.group || b.uses - a.uses || (a.id < b.id ? -1 : 1));
}

/** Toners of the formula that a variant, card or batch goes back to. */
function tonersBefore(book: Book, cell: EntryCell): Set<string> {
  const { entry } = cell;
  const own = text(entry.head, 'id');
  const from = entry.kind === 'variant' ? own && parentOf(own) : text(entry.head, 'formula');
  const toners = new Set<string>();
  // A path cannot be longer than its strokes, so this ends.
  for (let id = from; id; id = parentOf(id)) {
    const parent = book.find('formula', id);
    for (const line of parent ? linesOf(parent.entry, 'toner') : []) toners.add(text(line, 'toner') ?? '');
  }
  return toners;
}

function saidAlready(cell: EntryCell, row: Row, line: Line | undefined, place: ValuePlace): Set<string> {
  // In a colour of several coats a toner may be in each.
  if (row.repeat !== 'keyed' || row.key.join() !== place.name || lineOf(cell.entry, 'coat')) return new Set();
  return new Set(
    linesOf(cell.entry, row.word).flatMap((other) => (other === line ? [] : [text(other, place.name) ?? ''])),
  );
}

const USUAL_GEOMETRIES = ['45/0', 'd/8', '45as15', '45as25', '45as45', '45as75', '45as110'];

/** The geometries of the instrument that the entry names; else of all instruments of the book; else the usual ones. */
export function geometriesFor(book: Book, cell: EntryCell | undefined): Set<string> {
  const named =
    cell && (text(lineOf(cell.entry, 'taken'), 'instrument') ?? text(lineOf(cell.entry, 'measured'), 'instrument'));
  const own = named === undefined ? undefined : book.find('instrument', named);
  const found = new Set((own ? [own] : [...book.ofKind('instrument')]).flatMap(geometriesOf));
  return found.size > 0 && cell?.entry.kind !== 'instrument' ? found : new Set(USUAL_GEOMETRIES);
}

const geometriesOf = ({ entry }: EntryCell): string[] =>
  linesOf(entry, 'geometry').flatMap((line) => line.values.map((one) => one.text));

/** The measured greys of the undercoat that the line names, then the Munsell neutral values in halves, then lightness. */
export function greysFor(book: Book, line: Line | undefined): Set<string> {
  const id = value(line, 'undercoat')?.text;
  const undercoat = id === undefined ? undefined : book.find('undercoat', id);
  const steps = undercoat ? linesOf(undercoat.entry, 'grey').flatMap((one) => text(one, 'grey') ?? []) : [];
  const halves = Array.from({ length: 18 }, (_, index) => `N${1 + index / 2}`);
  return new Set([...steps, ...halves, 'L*']);
}

/** What the book says in this place of other lines of the word, the most said first. */
export function namesSaid(book: Book, row: Row, place: ValuePlace): string[] {
  const counts = new Map<string, number>();
  for (const kind of row.in) {
    for (const { entry } of book.ofKind(kind)) {
      for (const line of linesOf(entry, row.word)) {
        const name = text(line, place.name);
        if (name !== undefined) counts.set(name, (counts.get(name) ?? 0) + 1);
      }
    }
  }
  return [...counts]
    .sort(([a, one], [b, other]) => other - one || (a < b ? -1 : 1))
    .map(([name]) => (/^[^\s"#]+$/.test(name) ? name : `"${name.replace(/["\\]/g, '\\$&')}"`));
}
