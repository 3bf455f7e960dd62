/**
 * What opening a file costs in a workspace of 10,000 formulas (50 files), from the start of the process to the first diagnostics of the
 * open file, beside yaml-language-server on the same open file alone (it reads no other). Then the time until the last formula of the
 * book is known, and the memory of both.
 *
 *   npx tsx tests/bench/open.ts [runs]
 */
import { Editor, OUR_SERVER, YAML_SERVER } from './editor.ts';
import { type Form, pourForm, yamlForm } from './library.ts';

const RUNS = Number(process.argv[2] ?? 5);

interface Opened {
  readonly first: number;
  readonly all: number | undefined;
  readonly memory: number;
  readonly highest: number;
}

async function open(server: string, form: Form, last?: string): Promise<Opened> {
  const start = performance.now();
  const editor = new Editor(server, form);
  await editor.open();
  const first = performance.now() - start;
  if (last) await editor.untilSymbols(last, 1);
  const all = last ? performance.now() - start : undefined;
  await new Promise((resolve) => setTimeout(resolve, 3000)); // its work is done, and the memory what stays
  const memory = editor.memory();
  editor.close();
  return { first, all, memory: memory?.now ?? Number.NaN, highest: memory?.highest ?? Number.NaN };
}

const median = (values: readonly (number | undefined)[]): number =>
  values.map((one) => one ?? Number.NaN).sort((a, b) => a - b)[values.length >> 1]!;

const whole = pourForm(10_000, 200);
const ours: Opened[] = [];
const theirs: Opened[] = [];
for (let run = 0; run < RUNS; run++) {
  ours.push(await open(OUR_SERVER, whole, 'Colour9999'));
  theirs.push(await open(YAML_SERVER, yamlForm(200)));
}
const first = median(ours.map((one) => one.first));
const theirFirst = median(theirs.map((one) => one.first));
const highest = Math.max(...ours.map((one) => one.highest));
console.log(`Start to first diagnostics of the open file, medians of ${RUNS} runs:`);
console.log(`  pourbook with 10,000 formulas beside it: ${first.toFixed(0)} ms`);
console.log(`  yaml-language-server with the file alone: ${theirFirst.toFixed(0)} ms`);
console.log(`  ratio ${(first / theirFirst).toFixed(2)}, wanted at most 0.45`);
console.log(`All 10,000 formulas known after ${median(ours.map((one) => one.all)).toFixed(0)} ms`);
console.log(
  `Memory: pourbook ${median(ours.map((one) => one.memory)).toFixed(0)} MB for 10,000 formulas (highest ${highest.toFixed(0)} MB), yaml-language-server ${median(theirs.map((one) => one.memory)).toFixed(0)} MB for 200`,
);
process.exitCode = first <= 0.45 * theirFirst ? 0 : 1;
