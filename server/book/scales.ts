/** The scales of the shop beside the bench scale, and what their test weights say of them. */
import { type Scale, testWeighing } from '../paint/scales.ts';
import type { Book } from './book.ts';
import type { Scale as ScaleEntry } from './entries/instrument.ts';
import { scaleIn } from './known.ts';

/** The newest test weight and how far the scale read off; undefined where none was put on or the scale states no step. */
export function newestTest({ tests, step }: ScaleEntry) {
  const [newest] = [...tests].sort((a, b) => (a.when < b.when ? 1 : -1));
  return newest && step ? { ...newest, ...testWeighing(newest.weight, newest.shown, step) } : undefined;
}

/** Those that state their readability and did not read their newest test weight wrong. */
export const scalesOf = (book: Book): Scale[] =>
  [...book.ofKind('scale')]
    .map((cell) => scaleIn(book, cell))
    .flatMap((scale) => {
      const { id, step, capacity } = scale;
      if (!step?.gt(0) || newestTest(scale)?.within === false) return [];
      return [{ name: id, readability: step, ...(capacity ? { capacity } : {}) }];
    })
    .sort((a, b) => (a.name < b.name ? -1 : 1));
