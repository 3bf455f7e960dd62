/**
 * Writes the readings and cards of the sample book from the simulation: `npx tsx tests/simulator/write-samples.ts`.
 * Formulas, toners, undercoats and batches are written by hand in samples/book and read from there; what an instrument would
 * have read of them is computed here, with the noise of instrument, hand and gauge. The same files come out every time.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { normal, randomFrom } from './random.ts';
import { type Coat, dryMass, readHandWritten } from './sample/book.ts';
import {
  type DrawdownPlan,
  effectLadders,
  lessonDrawdowns,
  lessonSprayouts,
  type SprayoutPlan,
  solidLadders,
  sprayouts,
  waterborneSolids,
} from './sample/cards.ts';
import { lessonPanels, type ReadingPlan, standards, vehicles } from './sample/readings.ts';
import {
  type Angle,
  fiveAngles,
  flatAngle,
  type Panel,
  type Spectra,
  seedOf,
  spray,
  withNoise,
} from './sample/spray.ts';
import { line, spectrumLines, takeLines, tonerLines } from './sample/text.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const folder = join(root, 'samples/book');
const lessons = join(root, 'samples/lessons');
const cache = join(root, '.cache/simulator');
const book = readHandWritten([folder, lessons]);
const { formulas } = book;

const waterborne = { film: 18, coats: 3, angles: fiveAngles, instrument: 'BENCH-2', noise: 0.005 };
const twoPack = { film: 45, coats: 2, angles: flatAngle, instrument: 'FLAT-45', noise: 0.002 };

const system = (formula: string) => (formulas.get(formula)!.system === 'SB' ? twoPack : waterborne);

/** Panels are kept by what they are made of, so that a change of words costs no second spraying. */
function sprayed(panel: Panel): Spectra {
  const dry = panel.coats.map(({ parts }) => [...dryMass(book, parts)]);
  const code = ['film', 'simulate', 'tilt', 'plate', 'surface', 'random', 'sample/optics', 'sample/spray']
    .map((name) => readFileSync(join(root, `tests/simulator/${name}.ts`), 'utf8'))
    .join();
  const made = JSON.stringify([panel, dry, code]);
  const file = join(cache, `${createHash('sha256').update(made).digest('hex')}.json`);
  if (existsSync(file)) {
    const kept = JSON.parse(readFileSync(file, 'utf8')) as [Angle, number[]][];
    return new Map(kept.map(([angle, values]) => [angle, Float64Array.from(values)]));
  }
  const spectra = spray(panel, book);
  mkdirSync(cache, { recursive: true });
  writeFileSync(file, JSON.stringify([...spectra].map(([angle, values]) => [angle, [...values]])));
  return spectra;
}

const comments = (text?: string) => (text ? [`# ${text}`] : []);
const notes = (texts: readonly string[] = []) => texts.map((text) => line('note', JSON.stringify(text)));

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
    ...(plan.lab ? takeLines(id, spectra, plan.lab) : spectrumLines(spectra)),
    ...notes(plan.note ? [plan.note] : []),
  ];
}

function drawdown(plan: DrawdownPlan): string[] {
  const { angles, instrument, noise } = plan.angles === 'five' ? waterborne : twoPack;
  const coats: Coat[] = [{ name: 'top', times: 1, parts: new Map(Object.entries(plan.parts)) }];
  const spectra = withNoise(plan.id, sprayed({ id: plan.id, coats, film: plan.film, over: plan.over, angles }), noise);
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

function write(name: string, head: readonly string[], entries: readonly string[][], into = folder) {
  const text = [head.map((words) => `# ${words}`), ...entries].map((lines) => `${lines.join('\n')}\n`).join('\n');
  writeFileSync(join(into, name), text);
  console.log(`${name}: ${entries.length} entries, ${Math.round(text.length / 1024)} kB`);
}

const origin = 'Figures from tests/simulator/write-samples.ts: a ray simulation of invented toners, with noise.';
const solid = ({ near }: ReadingPlan) => formulas.get(near)!.system === 'SB';
const solidCard = ({ of }: SprayoutPlan) => formulas.get(of)!.system === 'SB';

write(
  'readings-effect.pour',
  ['What the effect colours have to look like. Clean, polished, cool; three takes or more.', origin],
  standards.filter((plan) => !solid(plan)).map(reading),
);
write(
  'readings-solid.pour',
  ['What the solid colours have to look like, read at 45/0.', origin],
  standards.filter(solid).map(reading),
);
write(
  'readings-vehicles.pour',
  ['What came through the gate in November. The bench looks for the nearest formula or variant.', origin],
  vehicles.map(reading),
);
write(
  'cards-effect.pour',
  ['Spray-out cards of the effect colours, with the parts that were really in the cup.', origin],
  sprayouts.filter((plan) => !solidCard(plan)).map(sprayout),
);
write(
  'cards-solid.pour',
  ['Spray-out cards of the solid colours, with the parts that were really in the cup.', origin],
  sprayouts.filter(solidCard).map(sprayout),
);
write(
  'cards-toners-effect.pour',
  [
    'Ladder cards of the waterborne toners, sprayed by machine, cleared: the book learns its flakes and colours from them.',
    origin,
  ],
  effectLadders.map(drawdown),
);
write(
  'cards-toners-flat.pour',
  ['Ladder cards of the waterborne colours in white, and of the sealer.', origin],
  waterborneSolids.map(drawdown),
);
write(
  'cards-toners-solid.pour',
  ['Ladder cards of the two-pack toners: full, in white, with black.', origin],
  solidLadders.map(drawdown),
);
write(
  'panels.pour',
  ['Readings and cards of the two lessons.', origin],
  [...lessonPanels.map(reading), ...lessonSprayouts.map(sprayout), ...lessonDrawdowns.map(drawdown)],
  lessons,
);
