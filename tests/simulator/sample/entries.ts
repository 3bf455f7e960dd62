import { normal, randomFrom } from '../random.ts';
import type { Coat, HandWritten } from './book.ts';
import type { DrawdownPlan, SprayoutPlan } from './cards.ts';
import { withNoise } from './instrument.ts';
import type { ReadingPlan } from './readings.ts';
import { fiveAngles, flatAngle, type Panel, type Spectra, seedOf } from './spray.ts';
import { line, spectrumLines, takeLines, tonerLines } from './text.ts';

const waterborne = { film: 18, coats: 3, angles: fiveAngles, instrument: 'BENCH-2', noise: 0.005 };
const twoPack = { film: 45, coats: 2, angles: flatAngle, instrument: 'FLAT-45', noise: 0.002 };

/** The lines of one entry, head first, as they stand in the sample book. */
export interface Writer {
  reading(plan: ReadingPlan): string[];
  sprayout(plan: SprayoutPlan): string[];
  drawdown(plan: DrawdownPlan): string[];
}

/** Writes entries from plans; `sprayed` gives the light that a panel throws back. */
export function writer({ formulas }: HandWritten, sprayed: (panel: Panel) => Spectra): Writer {
  const system = (formula: string) => (formulas.get(formula)!.system === 'SB' ? twoPack : waterborne);

  function reading(plan: ReadingPlan): string[] {
    const { film, angles, instrument } = system(plan.near);
    const { coats, grey } = formulas.get(plan.near)!;
    const panel = { id: plan.id, coats: coats.map((coat) => drifted(plan, coat)), film, over: grey, angles };
    const spectra = withNoise(plan.id, sprayed(panel), 0.001);
    const takes = plan.takes ?? 3;
    const random = randomFrom(seedOf(`lift ${plan.id}`));
    const everyTake = Array.from({ length: takes }, (_, i) => {
      const lifted = new Map([...spectra].map(([angle, s]) => [angle, s.map((v) => v * (1 + 0.002 * normal(random)))]));
      return spectrumLines(lifted, i + 1);
    });
    return [
      ...comments(plan.comment),
      `reading ${plan.id} "${plan.name}"`,
      line('taken', `${plan.taken} with ${instrument}`),
      line('surface', plan.surface ?? 'cleared polished 21 C'),
      ...(plan.give === 'spectra' ? everyTake.flat() : takeLines(plan.id, spectra, takes, plan.outlier?.take)),
      ...(plan.give === 'mean' ? spectrumLines(spectra) : []),
      ...(plan.outlier ? [line('without', `take ${plan.outlier.take} "${plan.outlier.reason}"`)] : []),
      ...notes(plan.notes),
    ];
  }

  function sprayout(plan: SprayoutPlan): string[] {
    const { film, coats: inCoats, angles, instrument, noise } = system(plan.of);
    const id = plan.id ?? `${plan.of.replaceAll('/', '-')}-card`;
    const formula = formulas.get(plan.of)!;
    const coats = formula.coats.map((coat) => {
      const parts = new Map([...coat.parts].map(([code, amount]) => [code, plan.asThen?.[code] ?? amount] as const));
      return { ...coat, parts, times: coat.name === 'mid' && plan.mid ? plan.mid : coat.times };
    });
    const mids = coats.reduce((sum, { name, times }) => sum + (name === 'mid' ? times : 0), 0);
    const top = plan.film ?? film;
    const spectra = withNoise(id, sprayed({ id, coats, film: top, over: formula.grey, angles }), noise);
    return [
      ...comments(plan.comment),
      `sprayout ${id} of ${plan.of}`,
      line('sprayed', `${plan.sprayed} by ${plan.by}`),
      line('measured', `${plan.sprayed}T16:30 with ${instrument}`),
      line('surface', 'cleared polished 20 C'),
      line('over', formula.grey),
      line('film', `${top + 7 * mids} um in ${mids > 0 ? 2 + mids : (plan.inCoats ?? inCoats)} coats`),
      ...tonerLines(coats),
      ...takeLines(id, spectra, 3),
      ...(plan.labOnly ? [] : spectrumLines(spectra)),
      ...notes(plan.note ? [plan.note] : []),
    ];
  }

  function drawdown(plan: DrawdownPlan): string[] {
    const { angles, instrument, noise } = plan.angles === 'five' ? waterborne : twoPack;
    const coats: Coat[] = [{ name: 'top', times: 1, parts: new Map(Object.entries(plan.parts)) }];
    const spectra = withNoise(
      plan.id,
      sprayed({ id: plan.id, coats, film: plan.film, over: plan.over, angles }),
      noise,
    );
    return [
      ...comments(plan.comment),
      `drawdown ${plan.id} "${plan.name}"`,
      line('drawn', `${plan.drawn} by ${plan.by}`),
      line('measured', `${plan.drawn}T15:00 with ${instrument}`),
      line('surface', 'cleared polished 20 C'),
      line('over', plan.over),
      line('film', `${plan.film} um`),
      ...tonerLines(coats),
      ...spectrumLines(spectra),
    ];
  }

  return { reading, sprayout, drawdown };
}

const comments = (text?: string) => (text ? [`# ${text}`] : []);
const notes = (texts: readonly string[] = []) => texts.map((text) => line('note', JSON.stringify(text)));

/** The vehicle's own paint: every toner but the binder a little off, some on purpose. */
function drifted({ id, off = 0.02, but = {} }: ReadingPlan, coat: Coat): Coat {
  const random = randomFrom(seedOf(`drift ${id} ${coat.name}`));
  const parts = new Map<string, number>();
  for (const [code, amount] of coat.parts) {
    const drift = /BND/.test(code) ? 1 : Math.exp(off * normal(random));
    parts.set(code, amount * drift * (but[code] ?? 1));
  }
  return { ...coat, parts };
}
