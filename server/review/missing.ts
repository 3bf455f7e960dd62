/** What a formula names that its book does not have, so that it cannot be mixed, or cannot be held against anything. */
import type { Book } from '../book/book.ts';
import type { NamedUndercoat } from '../book/entries/formula.ts';
import { systemNamed, tonerNamed } from '../book/known.ts';
import type { Recipe } from '../book/recipe.ts';
import { partsBelow } from './undercoat.ts';

export interface Missing {
  /** As what it is named: `in undercoat` is a toner that is poured for its grey, `in system` one that makes it ready. */
  readonly what: 'parent' | 'toner' | 'in undercoat' | 'in system' | 'undercoat' | 'standard' | 'system';
  readonly id: string;
  /** Where it only has another name now. */
  readonly now?: string;
}

const NOTHING: readonly never[] = [];

/** Without these nothing tells what is poured. */
const POURED: ReadonlySet<Missing['what']> = new Set(['parent', 'toner']);

export const unmixable = (missing: readonly Missing[]): Missing[] => missing.filter(({ what }) => POURED.has(what));

export function missingIn(book: Book, recipe: Recipe): readonly Missing[] {
  const { missingParent, undercoat, standard, system } = recipe;
  // What it would inherit is not known.
  if (missingParent !== undefined) return [{ what: 'parent', id: missingParent }];
  const toners = tonersGone(book, recipe);
  const below = undercoat ? belowMissing(book, undercoat.is) : NOTHING;
  const noStandard = standard !== undefined && !book.find('reading', standard.is);
  const inSystem = system ? systemMissing(book, system.is) : NOTHING;
  // Of most formulas all is there.
  if (toners.length + below.length + inSystem.length === 0 && !noStandard) return NOTHING;
  return [
    ...toners.map((id) => ({ what: 'toner', id }) as const),
    ...below,
    ...(noStandard ? [{ what: 'standard', id: standard.is } as const] : NOTHING),
    ...inSystem,
  ];
}

function tonersGone(book: Book, { coats }: Recipe): readonly string[] {
  let gone: Set<string> | undefined;
  for (const { toners } of coats)
    for (const { code } of toners)
      for (const id of missingOf(book, code)) {
        gone ??= new Set();
        gone.add(id);
      }
  return gone ? [...gone] : NOTHING;
}

const SPACE: Readonly<Record<Missing['what'], readonly string[]>> = {
  parent: ['formula'],
  toner: ['toner'],
  'in undercoat': ['toner'],
  'in system': ['toner'],
  undercoat: ['undercoat', 'formula'],
  standard: ['reading'],
  system: ['system'],
};

/** @param renamed by full names, `toner:TAR-1`, the earlier one first. */
export function calledNow(
  missing: readonly Missing[],
  renamed: readonly (readonly [string, string])[],
): readonly Missing[] {
  if (missing.length === 0 || renamed.length === 0) return missing;
  const present = new Map(renamed);
  return missing.map((one) => {
    const now = SPACE[one.what].flatMap((space) => present.get(`${space}:${one.id}`) ?? [])[0];
    return now === undefined ? one : { ...one, now: now.slice(now.indexOf(':') + 1) };
  });
}

/** `is no longer in the book; it is called PIT-1 now`. */
export function goneText(one: Missing, before: readonly Missing[] | undefined): string {
  const still = before && !before.some(({ what, id }) => what === one.what && id === one.id) ? 'no longer' : 'not';
  return `is ${still} in the book${one.now === undefined ? '' : ` (${one.now} is what it is called now)`}`;
}

/** Let-downs of let-downs are followed so far; a ring of them ends here. */
const DEEPEST = 8;

/** Many formulas are mixed of one toner. */
const missingOf = (book: Book, code: string): readonly string[] =>
  book
    .bookFact<readonly string[]>(
      `missing of ${code}`,
      () => tonersMissing(book, code),
      () => NOTHING,
    )
    .get();

function tonersMissing(book: Book, code: string, depth = 0): string[] {
  const toner = tonerNamed(book, code);
  if (!toner) return [code];
  return depth < DEEPEST ? toner.madeOf.flatMap((one) => tonersMissing(book, one.code, depth + 1)) : [];
}

const systemMissing = (book: Book, id: string): readonly Missing[] =>
  book
    .bookFact<readonly Missing[]>(
      `missing in system ${id}`,
      () => missingInSystem(book, id),
      () => NOTHING,
    )
    .get();

function missingInSystem(book: Book, id: string): Missing[] {
  const system = systemNamed(book, id);
  if (!system) return [{ what: 'system', id }];
  const codes = new Set(system.added.flatMap(({ code }) => (code === undefined ? [] : [code])));
  return [...codes].flatMap((code) => missingOf(book, code)).map((one) => ({ what: 'in system', id: one }));
}

/** Many formulas go on one grey. */
const belowMissing = (book: Book, undercoat: NamedUndercoat): readonly Missing[] =>
  book
    .bookFact<readonly Missing[]>(
      `missing below ${undercoat.coloured} ${undercoat.id} ${undercoat.grey?.text}`,
      () => missingInUndercoat(book, undercoat),
      () => NOTHING,
    )
    .get();

function missingInUndercoat(book: Book, named: NamedUndercoat): Missing[] {
  const { id, coloured } = named;
  if (!book.find(coloured ? 'formula' : 'undercoat', id)) return [{ what: 'undercoat', id }];
  if (coloured) return [];
  return partsBelow(book, named)
    .flatMap(({ code }) => missingOf(book, code))
    .map((one) => ({ what: 'in undercoat', id: one }));
}
