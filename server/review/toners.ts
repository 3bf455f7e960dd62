/** The toner lines of a formula in two versions side by side. */

import { plain } from '../answers/mix.ts';
import { rounded } from '../answers/number.ts';
import { sameRatios } from '../book/recipe.ts';
import { percentDecimal } from '../exact/rational.ts';
import type { Pairing } from './formula.ts';
import type { FormulaState, TonerFigure } from './state.ts';

export interface TonerSide {
  readonly parts: string;
  /** Per cent of its coat. */
  readonly share: number;
  readonly grams: string | null;
}

export interface TonerShift {
  readonly coat: string;
  readonly code: string;
  readonly before: TonerSide | null;
  readonly after: TonerSide | null;
  /** Change of the share in per cent of what it was; null where the toner came or went. */
  readonly relative: number | null;
}

/** In the new pour order, what was taken out behind. */
export function tonerShifts(before: FormulaState | null, after: FormulaState | null): TonerShift[] {
  const [old, now] = [before?.toners ?? [], after?.toners ?? []];
  // The usual case: only parts were changed.
  if (old.length === now.length && old.every((one, index) => keyOf(one) === keyOf(now[index]!)))
    return now.map((one, index) => tonerShift(old[index], one));
  const [oldKeyed, nowKeyed] = [keyed(old), keyed(now)];
  return [...new Set([...nowKeyed.keys(), ...oldKeyed.keys()])].map((key) =>
    tonerShift(oldKeyed.get(key), nowKeyed.get(key)),
  );
}

function tonerShift(a: TonerFigure | undefined, b: TonerFigure | undefined): TonerShift {
  const { coat, code } = b ?? a!;
  return { coat, code, before: side(a), after: side(b), relative: a && b ? relative(a, b) : null };
}

const keyOf = ({ coat, code }: TonerFigure): string => `${coat} ${code}`;

const keyed = (toners: readonly TonerFigure[]): Map<string, TonerFigure> =>
  new Map(toners.map((one) => [keyOf(one), one]));

const side = (one: TonerFigure | undefined): TonerSide | null =>
  one ? { parts: one.parts, share: shareOf(one), grams: one.grams } : null;

const shareOf = ({ exact, inCoat }: TonerFigure): number =>
  inCoat.n > 0n ? Number(percentDecimal(exact, inCoat, 4)) : 0;

/** Exactly nothing for exactly the same share. */
function relative(a: TonerFigure, b: TonerFigure): number | null {
  if (a.exact.n === 0n || a.inCoat.n === 0n || b.inCoat.n === 0n) return null;
  const old = a.exact.n * a.inCoat.d * b.exact.d * b.inCoat.n;
  const now = b.exact.n * b.inCoat.d * a.exact.d * a.inCoat.n;
  return rounded(Number((now - old) * 100n) / Number(old));
}

/**
 * An earlier formula with its toners and its undercoat as they are called now: another name is no other paint. What the formula itself
 * still calls by the earlier name stays.
 */
export function byPresentNames(
  state: FormulaState,
  after: FormulaState | null,
  { recoded, renamed }: Pick<Pairing, 'recoded' | 'renamed'>,
): FormulaState {
  if (recoded.length === 0 && renamed.length === 0) return state;
  const kept = new Set(after?.toners.map(({ code }) => code));
  const present = new Map(recoded.filter(([from]) => !kept.has(from)));
  const called = <T extends { readonly code: string }>(one: T): T => ({
    ...one,
    code: present.get(one.code) ?? one.code,
  });
  const { recipe } = state;
  const coats = recipe.coats.map((coat) => ({ ...coat, toners: coat.toners.map(called) }));
  return {
    ...state,
    toners: state.toners.map(called),
    recipe: { ...recipe, coats },
    undercoat: state.undercoat && {
      ...(state.undercoat.id === after?.undercoat?.id
        ? state.undercoat
        : undercoatCalled(state.undercoat, new Map(renamed))),
      parts: state.undercoat.parts.map((one) => ({ ...one, code: new Map(recoded).get(one.code) ?? one.code })),
    },
  };
}

type Undercoat = NonNullable<FormulaState['undercoat']>;

function undercoatCalled(undercoat: Undercoat, present: ReadonlyMap<string, string>): Undercoat {
  const name = present.get(`${undercoat.coloured ? 'formula' : 'undercoat'}:${undercoat.id}`);
  return name === undefined ? undercoat : { ...undercoat, id: name.slice(name.indexOf(':') + 1) };
}

/** The same toners in the same ratios in every coat, sprayed as often. */
export function samePaint(before: FormulaState, after: FormulaState): boolean {
  const [a, b] = [before.recipe.coats, after.recipe.coats];
  return (
    a.length === b.length &&
    a.every((coat, index) => {
      const other = b[index]!;
      return coat.name === other.name && coat.coats === other.coats && sameRatios(coat.toners, other.toners);
    })
  );
}

/** The factor that all parts were scaled by, for a formula that was only written in other amounts. */
export function scaledBy(before: FormulaState, after: FormulaState): string | null {
  if (before.recipe.total.compare(0) <= 0 || before.recipe.total.equals(after.recipe.total)) return null;
  return plain(after.recipe.total.div(before.recipe.total));
}

export const samePourOrder = (before: FormulaState, after: FormulaState): boolean =>
  before.toners.map(keyOf).join('\n') === after.toners.map(keyOf).join('\n');
