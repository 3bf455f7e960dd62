/**
 * How long reading takes, beside `yaml` (its parseDocument, which also keeps ranges and recovers) on the same content in the same
 * process. CPU time, best of several rounds, so that a busy machine disturbs little. Run: npx tsx tests/bench/parse.ts
 */
import { parseDocument } from 'yaml';
import { cut } from '../../grammar/cutter.ts';
import { parseEntry } from '../../grammar/parse.ts';

const formula = `formula SAM-31 "Samphire Green"
  maker        Marram
  code         samphire-a
  system       WB
  target weight 250 g as poured
  undercoat    SEAL grey N5
  toner GRN-2  41.20
  toner ALU-C  22.60
  toner BLK-1   1.25
  toner BND-0  34.95
`;

const formulaYaml = `formula: SAM-31
name: "Samphire Green"
maker: Marram
code: samphire-a
system: WB
target: { weight: 250 g, as: poured }
undercoat: { id: SEAL, grey: N5 }
toners:
  - { toner: GRN-2, parts: 41.20 }
  - { toner: ALU-C, parts: 22.60 }
  - { toner: BLK-1, parts: 1.25 }
  - { toner: BND-0, parts: 34.95 }
`;

const angles = ['45as-15', '45as15', '45as25', '45as45', '45as75', '45as110'];
const factors = Array.from({ length: 31 }, (_, index) => (0.0311 + index * 0.0113).toFixed(4));
const reading = [
  'reading SAM-door "Samphire van, left door"',
  ...angles.map((angle) => `  spectrum ${angle} 400..700/10 ${factors.join(' ')}`),
  '',
].join('\n');
const readingYaml = [
  'reading: SAM-door',
  'name: "Samphire van, left door"',
  'spectra:',
  ...angles.map((angle) => `  ${angle}: { range: 400..700/10, values: [${factors.join(', ')}] }`),
  '',
].join('\n');

/** Microseconds of CPU time for one call, best of the rounds. */
function cost(task: () => void, calls: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 8; round++) {
    const start = process.cpuUsage();
    for (let call = 0; call < calls; call++) task();
    const { user, system } = process.cpuUsage(start);
    best = Math.min(best, (user + system) / calls);
  }
  return best;
}

function compare(name: string, own: string, other: string): void {
  if (parseEntry({ text: own, side: 'none' }).findings.length > 0) throw new Error(`${name}: the sample has findings`);
  if (parseDocument(other).errors.length > 0) throw new Error(`${name}: the YAML sample has errors`);
  const ours = cost(() => parseEntry({ text: own, side: 'none' }), 3000);
  const theirs = cost(() => parseDocument(other), 200);
  console.log(
    `${name}: ${ours.toFixed(1)} us, yaml ${theirs.toFixed(0)} us: yaml takes ${(theirs / ours).toFixed(1)} times as long`,
  );
}

compare('formula of ten lines', formula, formulaYaml);
compare('reading of 6 x 31 values', reading, readingYaml);

const book = formula.repeat(500);
const lines = book.split('\n').length - 1;
console.log(`cutting ${lines} lines into entries: ${(cost(() => cut(book), 20) / 1000).toFixed(2)} ms`);
