/** Which toners formulas may be made of: what is demanded, forbidden, limited, on the shelf, and meant for colours. */
import type { Book } from '../book/book.ts';
import { tonerNamed, undercoatIn } from '../book/known.ts';
import { effectKind, solidKind } from '../book/optics/kinds.ts';
import type { Learned } from '../book/optics/learn.ts';
import { type Side, samplesOf } from '../book/optics/samples.ts';
import type { FormulateAsked, Task } from './formulate.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

type Used = Pick<Task, 'candidates' | 'must' | 'limits' | 'binder'> & { readonly notes: readonly string[] };

/** @throws Unanswerable when toners are asked for that nothing is known of, or demands contradict each other. */
export function tonersFor(book: Book, learned: Learned, side: Side, asked: FormulateAsked): Used {
  const codes = learned.toners.map(({ code }) => code);
  const demanded = (asked.must ?? []).map((code) => known(book, codes, code));
  const barred = new Set((asked.mustNot ?? []).map((code) => known(book, codes, code)));
  const both = demanded.find((code) => barred.has(code));
  if (both !== undefined) throw new Unanswerable(`${both} is both demanded and forbidden.`);
  const limits = new Map([...(asked.limits ?? [])].map(([code, percent]) => [known(book, codes, code), percent / 100]));
  const gone = codes.filter((code) => soldOut(book, code) && !demanded.includes(code) && !barred.has(code));
  const out = new Set([...barred, ...gone]);
  const must = demanded.filter((code) => !isBinder(book, code));
  const forUndercoats = undercoatToners(book);
  const usable = (code: string) => colours(book, side, code) && !out.has(code) && !forUndercoats.has(code);
  const notes = gone.length > 0 ? [`nothing is left of ${gone.join(', ')}, so that it is not used`] : [];
  return {
    candidates: codes.filter((code) => must.includes(code) || usable(code)),
    must,
    limits,
    binder: binderOf(book, learned, side, { demanded: demanded.find((code) => isBinder(book, code)), out, limits }),
    notes,
  };
}

const isBinder = (book: Book, code: string): boolean => tonerNamed(book, code)?.kind === 'binder';

/** What only thins or sets a colour is not looked for. */
function colours(book: Book, side: Side, code: string): boolean {
  const kind = tonerNamed(book, code)?.kind;
  return side === 'solid' ? solidKind(kind) !== 'binder' : effectKind(kind) !== 'clear';
}

/** A toner that is named. @throws Unanswerable where nothing is known of it. */
function known(book: Book, codes: readonly string[], code: string): string {
  if (codes.includes(code)) return code;
  if (!tonerNamed(book, code)) throw new Unanswerable(`There is no toner '${code}' in this book.`);
  throw new Unanswerable(
    `No card of this system holds ${code}, so it cannot be formulated with: draw one down to learn it.`,
  );
}

/** Toners that stand in an undercoat and in no formula: they are not poured for colours. */
function undercoatToners(book: Book): Set<string> {
  const steps = [...book.ofKind('undercoat')].flatMap((cell) => undercoatIn(book, cell).steps);
  const codes = new Set(steps.flatMap((step) => step.toners.map(({ code }) => code)));
  const inFormula = (code: string): boolean =>
    [...book.usersOf(`toner:${code}`)].some(({ entry }) => entry.kind === 'formula' || entry.kind === 'variant');
  return new Set([...codes].filter((code) => !inFormula(code)));
}

/** Every lot says that nothing is left of it. */
function soldOut(book: Book, code: string): boolean {
  const lots = tonerNamed(book, code)?.lots ?? [];
  const left = lots.map(({ stock }) => stock && (stock.grams ?? stock.millilitres));
  return lots.length > 0 && left.every((amount) => amount !== undefined && amount.compare(0) <= 0);
}

interface BinderAsked {
  readonly demanded: string | undefined;
  readonly out: ReadonlySet<string>;
  readonly limits: Task['limits'];
}

/** The binder that the cards use most, at the middle of its shares; of those that may be used, or the one that is demanded. */
function binderOf(book: Book, { system }: Learned, side: Side, { demanded, out, limits }: BinderAsked): Task['binder'] {
  const shares = new Map<string, number[]>();
  for (const sample of samplesOf(book, system, side).samples) {
    for (const [code, share] of sample.shares) {
      if (isBinder(book, code) && !out.has(code)) shares.set(code, [...(shares.get(code) ?? []), share]);
    }
  }
  const [most] = [...shares].sort((a, b) => b[1].length - a[1].length);
  const found = demanded === undefined ? most : ([demanded, shares.get(demanded) ?? []] as const);
  if (!found) return undefined;
  const [code, seen] = found;
  const sorted = [...seen].sort((a, b) => a - b);
  const usual = sorted[Math.floor(sorted.length / 2)] ?? USUAL_BINDER;
  return { code, share: rounded(Math.min(usual, MOST_BINDER, limits.get(code) ?? 1), 3) };
}

/** Of a binder that no card holds; common practice. */
const USUAL_BINDER = 0.4;
/** More leaves no room for colour. */
const MOST_BINDER = 0.9;
