/** Reviews of real repositories. */
import { expect } from 'vitest';
import type { FormulaReview } from '../../../server/review/formula.ts';
import type { Review } from '../../../server/review/review.ts';
import { repository } from './repository.ts';
import { pourbook } from './shop.ts';

type Files = Readonly<Record<string, string | null>>;

export interface Reviewed {
  readonly review: Review;
  readonly of: (id: string) => FormulaReview;
  /** What is called out of a formula: what it is, and the sentence. */
  readonly out: (id: string) => Readonly<Record<string, string>>;
  readonly written: (format: string) => Promise<string>;
  readonly failsOn: (level: string) => Promise<boolean>;
}

/** What a commit on top of a book does to its paint. */
export async function reviewed(before: Readonly<Record<string, string>>, change: Files): Promise<Reviewed> {
  const made = await repository(before);
  await made.commit('second', change);
  const run = (...args: string[]) => pourbook(made.folder, 'review', 'HEAD~1..HEAD', ...args);
  const { out, err } = await run('--json');
  if (out === '') throw new Error(err);
  const review = JSON.parse(out) as Review;
  const of = (id: string) => review.formulas.find((one) => one.id === id)!;
  return {
    review,
    of,
    out: (id) => Object.fromEntries(of(id).callOuts.map(({ what, text }) => [what, text])),
    written: async (format) => (await run('--format', format)).out,
    failsOn: async (level) => (await run('--fail-on', level)).code === 1,
  };
}

/** A text with one thing in it written otherwise. */
export function replaced(text: string, from: string, to: string): string {
  expect(text.split(from)).toHaveLength(2);
  return text.replace(from, () => to);
}
