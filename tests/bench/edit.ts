/**
 * What a keystroke costs, beside the server that a user would take instead: the same formulas as YAML in yaml-language-server (with a
 * schema that lists every toner, and its fixed delay of 200 ms as it comes). Edit to diagnostics, medians, both in one run.
 *
 *   npx tsx tests/bench/edit.ts [edits]
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';
import { type Form, pourForm, yamlForm } from './library.ts';

const EDITS = Number(process.argv[2] ?? 20);
const WARM_UP = 6;
const require = createRequire(import.meta.url);
const YAML_SERVER = join(dirname(require.resolve('yaml-language-server/package.json')), 'bin/yaml-language-server');
const OUR_SERVER = join(import.meta.dirname, '../../dist/server.cjs');

interface Measured {
  readonly median: number;
  readonly p95: number;
}

/** Milliseconds from an edit of one grey (a good one, then one off the scale) to the diagnostics that follow. */
async function measure(server: string, form: Form): Promise<Measured> {
  const folder = mkdtempSync(join(tmpdir(), 'pourbook-bench-'));
  for (const [name, text] of Object.entries(form.files)) writeFileSync(join(folder, name), text);
  const child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'ignore'] });
  const connection = createMessageConnection(new StreamMessageReader(child.stdout), new StreamMessageWriter(child.stdin));
  const uri = pathToFileURL(join(folder, form.main)).href;
  let waiting: ((count: number) => void) | undefined;
  connection.onNotification('textDocument/publishDiagnostics', (params: { uri: string; diagnostics: unknown[] }) => {
    if (params.uri === uri) waiting?.(params.diagnostics.length);
  });
  connection.onRequest('workspace/configuration', ({ items }: { items: { section?: string }[] }) =>
    items.map(({ section }) => (section === 'yaml' ? { validate: true, schemaStore: { enable: false } } : null)),
  );
  connection.onRequest(() => null);
  connection.listen();
  /** The next diagnostics of the file with another number of findings than before. */
  const differentFrom = (count: number) => new Promise<number>((resolve) => (waiting = (now) => now !== count && resolve(now)));
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: pathToFileURL(folder).href,
    workspaceFolders: [{ uri: pathToFileURL(folder).href, name: 'bench' }],
    capabilities: { workspace: { configuration: true, workspaceFolders: true }, textDocument: { publishDiagnostics: {} } },
  });
  await connection.sendNotification('initialized', {});
  const first = differentFrom(-1);
  const text = form.files[form.main]!;
  await connection.sendNotification('textDocument/didOpen', { textDocument: { uri, languageId: form.language, version: 1, text } });
  await first;
  await new Promise((resolve) => setTimeout(resolve, 3000)); // the rest of the book is read, and told
  let count = await new Promise<number>((resolve) => {
    waiting = resolve;
    void connection.sendNotification('textDocument/didChange', { textDocument: { uri, version: 2 }, contentChanges: [{ range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } }, text: '' }] });
  });
  const lines = text.split('\n');
  const greys = lines.flatMap((line, index) => (form.grey.test(line) ? [index] : []));
  const times: number[] = [];
  let version = 2;
  for (let edit = 0; edit < EDITS + WARM_UP; edit++) {
    const line = greys[Math.floor(((edit * 0.618) % 1) * greys.length)]!;
    const at = lines[line]!.lastIndexOf('N') + 1;
    for (const [from, to] of [['', '9'], ['9', '']] as const) {
      const wait = differentFrom(count);
      const start = performance.now();
      await connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version: ++version },
        contentChanges: [{ range: { start: { line, character: at }, end: { line, character: at + from.length } }, text: to }],
      });
      count = await wait;
      if (edit >= WARM_UP) times.push(performance.now() - start);
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }
  connection.dispose();
  child.kill();
  rmSync(folder, { recursive: true });
  times.sort((a, b) => a - b);
  return { median: times[times.length >> 1]!, p95: times[Math.floor(times.length * 0.95)]! };
}

const show = ({ median, p95 }: Measured) => `${median.toFixed(2)} ms (p95 ${p95.toFixed(2)})`;

const small = await measure(OUR_SERVER, pourForm(200));
const large = await measure(OUR_SERVER, pourForm(2000));
const smallYaml = await measure(YAML_SERVER, yamlForm(200));
const largeYaml = await measure(YAML_SERVER, yamlForm(2000));
console.log(`edit to diagnostics, ${EDITS * 2} edits each, medians:`);
console.log(`  200 formulas in one file:   pourbook ${show(small)}, yaml-language-server ${show(smallYaml)}, ratio 1/${(smallYaml.median / small.median).toFixed(0)}`);
console.log(`  2,000 formulas in one file: pourbook ${show(large)}, yaml-language-server ${show(largeYaml)}, ratio 1/${(largeYaml.median / large.median).toFixed(0)}`);
console.log(`  growth from 200 to 2,000 formulas: pourbook ${(large.median / small.median).toFixed(2)} times, yaml-language-server ${(largeYaml.median / smallYaml.median).toFixed(2)} times`);
console.log(`  wanted: growth at most 2 times, and at most 1/30 of the alternative at 2,000 formulas`);
process.exitCode = large.median <= 2 * small.median && large.median <= largeYaml.median / 30 ? 0 : 1;
