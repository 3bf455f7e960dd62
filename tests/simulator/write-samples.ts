/**
 * Writes the readings and cards of the sample book from the simulation: `npx tsx tests/simulator/write-samples.ts`.
 * Formulas, toners, undercoats and batches are written by hand in samples/book and read from there; what an instrument would
 * have read of them is computed here, with the noise of instrument, hand and gauge. The same files come out every time.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { applied, formatText } from '../../grammar/printer.ts';
import { dryMass, readHandWritten } from './sample/book.ts';
import {
  effectLadders,
  lessonDrawdowns,
  lessonSprayouts,
  type SprayoutPlan,
  solidLadders,
  sprayouts,
  waterborneSolids,
} from './sample/cards.ts';
import { writer } from './sample/entries.ts';
import { optics } from './sample/optics.ts';
import { lessonPanels, type ReadingPlan, standards, vehicles } from './sample/readings.ts';
import { type Angle, type Panel, type Spectra, spray } from './sample/spray.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const folder = join(root, 'samples/book');
const lessons = join(root, 'samples/lessons');
const cache = join(root, '.cache/simulator');
const book = readHandWritten([folder, lessons]);
const { formulas } = book;

const simulator = ['film', 'simulate', 'tilt', 'plate', 'surface', 'random', 'sample/spray'].map((name) =>
  readFileSync(join(root, `tests/simulator/${name}.ts`), 'utf8'),
);

/** Panels are kept by what they are made of, so that a change of words costs no second spraying. */
function sprayed(panel: Panel): Spectra {
  const dry = panel.coats.map(({ parts }) => [...dryMass(book, parts)]);
  const toners = dry.flat().map(([code]) => optics[code]);
  const made = JSON.stringify([panel, dry, toners, simulator]);
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

const { reading, sprayout, drawdown } = writer(book, sprayed);

function write(name: string, head: readonly string[], entries: readonly string[][], into = folder) {
  const text = [head.map((words) => `# ${words}`), ...entries].map((lines) => `${lines.join('\n')}\n`).join('\n');
  writeFileSync(join(into, name), applied(text, formatText(text)));
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
