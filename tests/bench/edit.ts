/**
 * What a keystroke costs, beside the server that a user would take instead: the same formulas as YAML in yaml-language-server (with a
 * schema that lists every toner, and its fixed delay of 200 ms as it comes). Edit to diagnostics, medians, both in one run.
 *
 *   npx tsx tests/bench/edit.ts [edits]
 */
import { Editor, OUR_SERVER, pause, YAML_SERVER } from './editor.ts';
import { type Form, pourForm, yamlForm } from './library.ts';

const EDITS = Number(process.argv[2] ?? 20);
const WARM_UP = 6;

interface Measured {
  readonly median: number;
  readonly p95: number;
}

/** Each edit makes one grey good, then wrong: `N5` becomes `N95` and `N5` again; and asks what may stand behind it. */
async function measure(server: string, form: Form): Promise<{ edit: Measured; completion: Measured }> {
  const editor = new Editor(server, form);
  await editor.open();
  await pause(4000); // the rest of the book is read, and what hangs on it told
  const lines = form.files[form.main]!.split('\n');
  const greys = lines.flatMap((line, index) => (form.grey.test(line) ? [index] : []));
  const edits: number[] = [];
  const completions: number[] = [];
  for (let edit = -WARM_UP; edit < EDITS; edit++) {
    const line = greys[Math.floor((((edit + WARM_UP) * 0.618) % 1) * greys.length)]!;
    const at = lines[line]!.lastIndexOf('N') + 1;
    const times = [await editor.timeEdit(line, at, at, '9')];
    await pause(10);
    times.push(await editor.timeEdit(line, at, at + 1, ''));
    await pause(10);
    const completion = await editor.timeCompletion(line + 1, lines[line + 1]!.search(/\S/), form.word);
    await pause(300); // the alternative's delay is over, so that the next edit does not wait for this one
    if (edit < 0) continue;
    edits.push(...times);
    completions.push(completion);
  }
  editor.close();
  return { edit: measured(edits), completion: measured(completions) };
}

function measured(times: number[]): Measured {
  times.sort((a, b) => a - b);
  return { median: times[times.length >> 1]!, p95: times[Math.floor(times.length * 0.95)]! };
}

const show = ({ median, p95 }: Measured) => `${median.toFixed(2)} ms (p95 ${p95.toFixed(2)})`;

const small = await measure(OUR_SERVER, pourForm(200));
const large = await measure(OUR_SERVER, pourForm(2000));
const smallYaml = await measure(YAML_SERVER, yamlForm(200));
const largeYaml = await measure(YAML_SERVER, yamlForm(2000));
const growth = large.edit.median / small.edit.median;
const share = largeYaml.edit.median / large.edit.median;
const completionShare = smallYaml.completion.median / small.completion.median;
console.log(`Medians of ${EDITS * 2} edits and ${EDITS} completions. Edit to diagnostics:`);
line('200 formulas in one file', small.edit, smallYaml.edit);
line('2,000 formulas in one file', large.edit, largeYaml.edit);
console.log(
  `  growth: pourbook ${growth.toFixed(2)} times, yaml-language-server ${(largeYaml.edit.median / smallYaml.edit.median).toFixed(2)} times`,
);
console.log('Edit, then completion:');
line('200 formulas in one file', small.completion, smallYaml.completion);
line('2,000 formulas in one file', large.completion, largeYaml.completion);
console.log('Wanted: growth at most 2 times; 1/30 of the alternative at 2,000 formulas; completion 1/12 of it at 200.');
process.exitCode = growth <= 2 && share >= 30 && completionShare >= 12 ? 0 : 1;

function line(title: string, ours: Measured, theirs: Measured): void {
  console.log(
    `  ${title}: pourbook ${show(ours)}, yaml-language-server ${show(theirs)}, ratio 1/${(theirs.median / ours.median).toFixed(0)}`,
  );
}
