/** What the book has learned of its toners, how sure it is, and which cards would make it surer. */
import type { Book } from '../book/book.ts';
import { GRID } from '../book/optics/grid.ts';
import type { Learned, LearnedToner, MidCoat } from '../book/optics/learn.ts';
import { fitsOf, opticsOf, type SolidOptics, solidOptics } from '../book/optics/optics.ts';
import { paintOf } from '../book/optics/predicted.ts';
import { cardsLeftOut, type LeftOutCard, samplesOf, systemsLearned } from '../book/optics/samples.ts';
import { recipeIn } from '../book/recipe.ts';
import { adviseDrawdowns } from '../paint/fit-advice.ts';
import { lightFor } from '../paint/light.ts';
import type { Component } from '../paint/mixture.ts';
import { defaultSurface } from '../paint/surface.ts';
import { rounded } from './number.ts';
import { Unanswerable } from './subject.ts';

export interface FitAnswer {
  readonly fits: readonly SideFit[];
  /** Cards that nothing is learned from. */
  readonly leftOut: readonly LeftOutCard[];
  /** With --advise: drawdowns that would narrow the book's ± most. */
  readonly advice?: readonly DrawdownAdvice[];
}

export interface SideFit extends Pick<Learned, 'system' | 'side' | 'key' | 'cards' | 'leftOut' | 'toners'> {
  readonly state: 'ready' | 'recomputing' | 'none';
  /** Whether coats are in true film thickness: a film of known thickness over a known undercoat was read. */
  readonly films: boolean;
  /** Dry film of one mid coat, um, as step panels told it. */
  readonly mids: readonly MidCoat[];
}

export interface DrawdownAdvice {
  readonly system: string;
  readonly side: Learned['side'];
  readonly toner: string;
  readonly why: string;
  readonly drawdowns: readonly { readonly toner: string; readonly parts: number }[][];
  readonly text: string;
}

/** @throws Unanswerable when no card of the book tells anything. */
export function fitAnswer(book: Book, advise: boolean): FitAnswer {
  const fits = fitsOf(book);
  if (fits.length === 0) {
    const systems = systemsLearned(book);
    throw new Unanswerable(
      systems.length > 0
        ? `The toners of ${systems.join(', ')} are not learned yet.`
        : 'There is no card to learn from: enter spray-outs or drawdowns that keep their parts and have spectra.',
    );
  }
  return {
    fits: fits.map((fit) => ({
      system: fit.system,
      side: fit.side,
      state: opticsOf(book, fit.system, fit.side).state,
      key: fit.key,
      cards: fit.cards,
      films: 'effect' in fit.fit || fit.fit.solid.scale !== undefined,
      mids: fit.mids ?? [],
      leftOut: fit.leftOut,
      toners: fit.toners,
    })),
    leftOut: cardsLeftOut(book),
    ...(advise ? { advice: fits.flatMap((fit) => adviceFor(book, fit) ?? []) } : {}),
  };
}

/**
 * The drawdown that narrows the ± of the formulas of a side most; where there is none, because no formula tells or none gains, those
 * of the toner that is known least.
 */
function adviceFor(book: Book, fit: Learned): DrawdownAdvice | undefined {
  const optics = solidOptics(fit);
  const formulas = optics ? solidFormulas(book, fit) : [];
  if (!optics || formulas.length === 0) return ofLeastKnown(book, fit, '');
  return (
    narrowing(fit, optics, formulas) ??
    ofLeastKnown(book, fit, ` No single drawdown narrows the ± of the ${formulas.length} formulas noticeably.`)
  );
}

/** A card that gains less of the mean ± is not worth its paint. */
const WORTH_A_CARD = 0.01;

function narrowing(
  fit: Learned,
  optics: SolidOptics,
  formulas: readonly (readonly Component[])[],
): DrawdownAdvice | undefined {
  const light = lightFor(fit.light, GRID.start, GRID.step, GRID.count);
  const best = adviseDrawdowns(optics.fit, optics.model, formulas, defaultSurface, light)[0];
  if (!best || best.after > best.before * (1 - WORTH_A_CARD)) return undefined;
  const drawdown = best.components.map(({ toner, share }) => ({
    toner: optics.fit.toners[toner]!.code,
    parts: rounded(100 * share, 1),
  }));
  const many = formulas.length === 1 ? 'of the one formula' : `of ${formulas.length} formulas, on average`;
  const why = `the ± ${many}, goes from ${best.before.toFixed(2)} to ${best.after.toFixed(2)} dE00`;
  const mixed = drawdown.map(({ toner, parts }) => `${toner} ${parts}`).join(' + ');
  const text = `${fit.system}, ${fit.side}: draw down ${mixed}, predicted to narrow most: ${why}.`;
  return { system: fit.system, side: fit.side, toner: best.toner, why, drawdowns: [drawdown], text };
}

function solidFormulas(book: Book, fit: Learned): (readonly Component[])[] {
  return [...book.ofKind('formula'), ...book.ofKind('variant')].flatMap((cell) => {
    const paint = paintOf(book, recipeIn(book, cell));
    return 'none' in paint || paint.side !== 'solid' || paint.learned !== fit ? [] : [paint.components];
  });
}

/**
 * A white tint of 20 % and a blend with black of 97:3 of the toner that is known least: by a numerical study of simulated books
 * these two are worth about eight ordinary cards, since the tint shows how it absorbs and the blend how it scatters. Of a black, its
 * full tone shows that; black in black would show nothing of either.
 */
function ofLeastKnown(book: Book, fit: Learned, besides: string): DrawdownAdvice | undefined {
  const widest = [...fit.toners].filter(wantsCards).sort(byNeed)[0];
  if (!widest) return undefined;
  const { code, kind } = widest;
  const [white, black] = [partnerOf(book, fit, code, 'white'), partnerOf(book, fit, code, 'black')];
  const flake = kind === 'flake' || kind === 'pearl';
  const full = [{ toner: code, parts: 100 }];
  const pair = (other: string, parts: number) => [
    { toner: code, parts },
    { toner: other, parts: 100 - parts },
  ];
  const drawdowns = [
    ...(flake ? [full] : white && white !== code ? [pair(white, 20)] : []),
    ...(kind === 'black' ? [full] : black ? [pair(black, 97)] : []),
  ];
  if (drawdowns.length === 0) return undefined;
  const why = whyOf(widest);
  const mixed = drawdowns.map((one) => one.map(({ toner, parts }) => `${toner} ${parts}`).join(' + '));
  const text = `${fit.system}, ${fit.side}: draw down ${mixed.join(', and ')}. ${code} is known least: ${why}.${besides}`;
  return { system: fit.system, side: fit.side, toner: code, why, drawdowns, text };
}

/** The toner of a kind that most cards hold together with this one, as a sealer's black goes into the sealer's white; else on most cards. */
function partnerOf(book: Book, fit: Learned, code: string, kind: string): string | undefined {
  const on = samplesOf(book, fit.system, fit.side).samples.map(({ shares }) => new Set(shares.map(([toner]) => toner)));
  const together = (other: string): number => on.filter((card) => card.has(code) && card.has(other)).length;
  return fit.toners
    .filter((toner) => toner.kind === kind)
    .toSorted((a, b) => together(b.code) - together(a.code) || b.cards - a.cards)[0]?.code;
}

const wantsCards = (toner: LearnedToner): boolean =>
  toner.plusMinus !== null && toner.kind !== 'binder' && toner.kind !== 'additive';

/** Uncertain ones first, then the widest ±. */
const byNeed = (a: LearnedToner, b: LearnedToner): number =>
  Number(b.uncertain !== null) - Number(a.uncertain !== null) || (b.plusMinus ?? 0) - (a.plusMinus ?? 0);

function whyOf(toner: LearnedToner): string {
  const cards = `${toner.cards} ${toner.cards === 1 ? 'card' : 'cards'}`;
  return `± ${toner.plusMinus!.toFixed(1)} dE00 from ${cards}${toner.uncertain ? ` (${toner.uncertain})` : ''}`;
}
