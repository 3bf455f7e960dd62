/** The scale that a mix is weighed on: the one asked for, else the bench scale, else the finest of the shop that carries the cup. */
import type { Book } from '../book/book.ts';
import { scaleNamed, shopOf } from '../book/known.ts';
import { scalesOf } from '../book/scales.ts';
import type { Rational } from '../exact/rational.ts';
import { chooseScale } from '../paint/scales.ts';
import { plain } from './plain.ts';
import { Unanswerable } from './subject.ts';

export interface Weighing {
  readonly step: Rational;
  /** Undefined for the bench scale. */
  readonly name: string | undefined;
  /** Why it is not the scale that one would take. */
  readonly note: string | undefined;
}

/**
 * @param load of the heaviest cup, g, with all that makes it ready to spray
 * @param tare of the empty cup, where it is known
 * @throws Unanswerable for a scale that is not there or does not carry the cup, naming one that does
 */
export function weighingOn(book: Book, id: string | undefined, load: Rational, tare: Rational | undefined): Weighing {
  const all = tare ? load.add(tare) : load;
  const shown = `${plain(rounded(all))} g ${tare ? 'with' : 'without'} the cup`;
  const other = chooseScale(
    scalesOf(book).filter(({ name }) => name !== id),
    all,
  );
  if (id !== undefined) {
    const scale = scaleNamed(book, id);
    if (!scale) throw new Unanswerable(`There is no scale '${id}' in this book.`);
    if (!scale.step?.gt(0)) throw new Unanswerable(`Scale ${id} does not state its readability.`);
    if (scale.capacity && all.gt(scale.capacity))
      throw new Unanswerable(
        `${id} carries ${plain(scale.capacity)} g; this is ${shown}. ${other ? `${other.name} carries it: --scale ${other.name}` : 'Make it in two cups'}.`,
      );
    return { step: scale.step, name: id, note: undefined };
  }
  const { step, capacity } = shopOf(book);
  if (!capacity || all.lte(capacity)) return { step, name: undefined, note: undefined };
  const tooMuch = `The bench scale carries ${plain(capacity)} g; this is ${shown}`;
  if (!other) throw new Unanswerable(`${tooMuch}. No scale of the book carries it: make it in two cups.`);
  return { step: other.readability, name: other.name, note: `${tooMuch}: weigh it on ${other.name}.` };
}

const rounded = (grams: Rational): Rational => grams.round(1);
