/**
 * Step panels: how thick one mid coat is, as far as the film gauge tells.
 *
 * One unknown for each panel is left to the fit, the film of one mid coat: a panel is sprayed at once, by one hand, with one gun, so
 * that its steps share it, and how a colour moves from step to step then tells the toners. An unknown for each card would take that
 * away again: a step too light could always be a coat too thick. The logarithm of the film is known to within what the gauge tells.
 */
import type { Sample } from './samples.ts';

export interface Panel {
  readonly id: string;
  readonly formula: string | undefined;
  /** Dry film of one mid coat, um, as expected, and how well that is known (standard deviation of its logarithm). */
  readonly film: number;
  readonly width: number;
  /** Dry film of the ground, um; undefined: as thick as cards usually are. */
  readonly ground: number | undefined;
  /** What the ground reads where it was left bare, per wavelength at 45as45. */
  readonly bare: readonly number[] | undefined;
}

/** Steps of one panel that differ in film: a gauge is good to a tenth. */
const MEASURED = 0.1;
/** The film of all coats divided by their number: the ground's coats are sprayed fuller than mid coats. */
const SHARED_OUT = 0.3;
/** Nothing told: common practice of a dropped coat. */
const GUESSED = 0.5;

/** The panels that these samples are steps of; `coat` is the usual film of one coat, um. */
export function panelsOf(samples: readonly Sample[], coat: number): Panel[] {
  const steps = new Map<string, Sample[]>();
  for (const sample of samples) {
    if (!sample.step) continue;
    const { panel } = sample.step;
    steps.set(panel, [...(steps.get(panel) ?? []), sample]);
  }
  return [...steps]
    .filter(([, cards]) => cards.some(({ step }) => step!.coats > 0))
    .map(([id, cards]) => ({
      id,
      formula: cards[0]!.step!.formula,
      ...filmOfCoat(cards, coat),
      bare: cards.find(({ step }) => step!.coats === 0)?.readings.find(({ geometry }) => geometry === '45as45')?.values,
    }));
}

function filmOfCoat(cards: readonly Sample[], coat: number): Pick<Panel, 'film' | 'width' | 'ground'> {
  const told = cards.flatMap(({ step }) =>
    step!.film === undefined ? [] : [{ coats: step!.coats, film: step!.film }],
  );
  const rise = slope(told);
  if (rise && rise.film > 0 && rise.ground > 0) return { ...rise, width: MEASURED };
  const shared = cards.flatMap(({ step }) =>
    step!.film && step!.coatsSprayed ? [step!.film / step!.coatsSprayed] : [],
  );
  if (shared.length === 0) return { film: coat, width: GUESSED, ground: undefined };
  const film = shared.reduce((sum, one) => sum + one, 0) / shared.length;
  const ground = told.map((one) => one.film - one.coats * film).filter((one) => one > 0);
  return { film, width: SHARED_OUT, ground: ground.length > 0 ? Math.max(...ground) : undefined };
}

/** Film of all coats against the number of mid coats, by least squares; undefined unless two numbers were sprayed. */
function slope(told: readonly { coats: number; film: number }[]): { film: number; ground: number } | undefined {
  const mean = (of: (one: { coats: number; film: number }) => number) =>
    told.reduce((sum, one) => sum + of(one), 0) / told.length;
  const [coats, film] = [mean((one) => one.coats), mean((one) => one.film)];
  const spread = told.reduce((sum, one) => sum + (one.coats - coats) ** 2, 0);
  if (!(spread > 0)) return undefined;
  const each = told.reduce((sum, one) => sum + (one.coats - coats) * (one.film - film), 0) / spread;
  return { film: each, ground: film - each * coats };
}
