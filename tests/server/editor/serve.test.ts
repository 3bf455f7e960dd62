/** The built programs as an editor starts them: a process that speaks over standard input and output. */
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, describe, expect, test } from 'vitest';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';

const root = join(import.meta.dirname, '../../..');
const folder = pathToFileURL(join(root, 'tests/editor/book')).href;

const programs: [name: string, file: string, args: string[]][] = [
  ['pourbook serve --stdio', join(root, 'dist/pourbook.cjs'), ['serve', '--stdio']],
  ['the server of the extension', join(root, 'dist/server.cjs'), ['--stdio']],
];

let stop = (): unknown => undefined;
afterEach(() => stop());

describe.each(programs)('%s', (_name, file, args) => {
  test('starts, tells a finding, answers, and ends when it is asked to', { timeout: 60_000 }, async () => {
    expect(existsSync(file), `${file.slice(root.length + 1)} is there (else: npm run build)`).toBe(true);
    const child = spawn(process.execPath, [file, ...args], { stdio: ['pipe', 'pipe', 'pipe'] });
    stop = () => child.kill();
    let errors = '';
    child.stderr.on('data', (piece) => (errors += piece));
    const ended = new Promise<number | null>((resolve) => child.on('exit', resolve));
    const connection = createMessageConnection(
      new StreamMessageReader(child.stdout),
      new StreamMessageWriter(child.stdin),
    );
    const uri = `${folder}/new.pour`;
    const told = new Promise<{ code: string }[]>((resolve) => {
      connection.onNotification('textDocument/publishDiagnostics', (params) => {
        const one = params as { uri: string; diagnostics: { code: string }[] };
        if (one.uri === uri && one.diagnostics.length > 0) resolve(one.diagnostics);
      });
    });
    connection.onRequest(() => null);
    connection.listen();
    const workspaceFolders = [{ uri: folder, name: 'book' }];
    const params = { processId: process.pid, rootUri: folder, workspaceFolders, capabilities: {} };
    expect(await connection.sendRequest('initialize', params)).toMatchObject({
      capabilities: { hoverProvider: true },
      serverInfo: { name: 'pourbook' },
    });
    await connection.sendNotification('initialized', {});
    const text = 'formula NEW-1 "New"\n  toner NONE-1 1\n';
    await connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri, languageId: 'pour', version: 1, text },
    });
    expect((await told).length).toBeGreaterThan(0);
    const position = { line: 0, character: 2 };
    expect(await connection.sendRequest('textDocument/hover', { textDocument: { uri }, position })).not.toBeNull();
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
    expect(await ended).toBe(0);
    expect(errors).toBe('');
    connection.dispose();
  });
});
