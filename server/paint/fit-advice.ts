/**
 * Which drawdown to spray next: the one that narrows the ± of the book's formulas most. A 20 % white tint and a blend
 * with black show absorption and scattering of a toner apart; together they are worth about eight ordinary cards.
 */
import type { OpticsFit } from './fit.ts';
import { updatedFit } from './fit-update.ts';
import type { Light } from './light.ts';
import type { Component, TonerKind } from './mixture.ts';
import { predictedReadings } from './predict.ts';
import type { Surface } from './surface.ts';
import { plusMinus, type UncertaintyModel } from './uncertainty.ts';

/** A drawdown worth spraying. */
export interface DrawdownAdvice {
  readonly toner: string;
  readonly drawdown: 'white tint' | 'black blend';
  readonly components: readonly Component[];
  /** Mean ± (dE00) of the formulas as it is, and as it would be with this card. */
  readonly before: number;
  readonly after: number;
}

const tint = 0.2;
const blend = 0.97;

/**
 * Rank drawdowns by the mean ± they would leave over `formulas`, best first. What a card will read need not be known:
 * its worth depends on what is in it only. Drawdowns that need a white or black the book does not have are left out.
 */
export function adviseDrawdowns(
  fit: OpticsFit,
  model: UncertaintyModel,
  formulas: readonly (readonly Component[])[],
  surface: Surface,
  light: Light,
): DrawdownAdvice[] {
  if (formulas.length === 0) return [];
  const before = meanPlusMinus(fit, model, formulas, surface, light);
  const advice = drawdowns(fit).map((each): DrawdownAdvice => {
    const card = { components: each.components, surface, reflectance: new Float64Array(fit.count) };
    // The card that the fit expects: K and S stay, only the curvature grows.
    const expected = { ...card, reflectance: predictedReadings(fit, card).reflectance };
    return { ...each, before, after: meanPlusMinus(updatedFit(fit, expected), model, formulas, surface, light) };
  });
  return advice.sort((a, b) => a.after - b.after);
}

function drawdowns(fit: OpticsFit): Pick<DrawdownAdvice, 'toner' | 'drawdown' | 'components'>[] {
  const white = mostUsed(fit, 'white');
  const black = mostUsed(fit, 'black');
  return fit.toners.flatMap(({ code, kind }, i) => {
    if (kind === 'binder' || i === white) return [];
    const pair = (other: number, share: number): Component[] => [
      { toner: i, share },
      { toner: other, share: 1 - share },
    ];
    const tinted = white < 0 ? [] : [{ toner: code, drawdown: 'white tint' as const, components: pair(white, tint) }];
    // a black in black shows neither absorption nor scattering of either
    const noBlend = black < 0 || kind === 'black';
    const blended = noBlend ? [] : [{ toner: code, drawdown: 'black blend' as const, components: pair(black, blend) }];
    return [...tinted, ...blended];
  });
}

/** The toner of a kind that most cards hold; -1 without one. A primer's white, say, is not what colours are tinted with. */
function mostUsed({ toners }: OpticsFit, kind: TonerKind): number {
  return toners.reduce(
    (best, toner, i) => (toner.kind === kind && (best < 0 || toner.samples > toners[best]!.samples) ? i : best),
    -1,
  );
}

function meanPlusMinus(
  fit: OpticsFit,
  model: UncertaintyModel,
  formulas: readonly (readonly Component[])[],
  surface: Surface,
  light: Light,
): number {
  const sum = formulas.reduce((total, components) => {
    const { reflectance, variance } = predictedReadings(fit, { components, surface });
    return total + plusMinus(model, light, reflectance, variance, fit.noise).dE00;
  }, 0);
  return sum / formulas.length;
}
