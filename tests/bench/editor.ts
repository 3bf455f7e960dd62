/** The editor's side of a language server in a process of its own, for the benches. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';
import type { Form } from './library.ts';

const require = createRequire(import.meta.url);
export const YAML_SERVER = join(
  dirname(require.resolve('yaml-language-server/package.json')),
  'bin/yaml-language-server',
);
export const OUR_SERVER = join(import.meta.dirname, '../../dist/server.cjs');

export const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** A server on a folder, and the number of findings that it last told of the file that is open. */
export class Editor {
  private readonly folder = mkdtempSync(join(tmpdir(), 'pourbook-bench-'));
  private readonly child;
  private readonly connection;
  private readonly uri: string;
  private version = 1;
  private findings: number | undefined;
  private onFindings: () => void = () => undefined;

  constructor(
    server: string,
    private readonly form: Form,
  ) {
    for (const [name, text] of Object.entries(form.files)) writeFileSync(join(this.folder, name), text);
    this.uri = pathToFileURL(join(this.folder, form.main)).href;
    this.child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'ignore'] });
    this.connection = createMessageConnection(
      new StreamMessageReader(this.child.stdout),
      new StreamMessageWriter(this.child.stdin),
    );
    this.connection.onNotification(
      'textDocument/publishDiagnostics',
      ({ uri, diagnostics }: { uri: string; diagnostics: unknown[] }) => {
        if (uri !== this.uri) return;
        this.findings = diagnostics.length;
        this.onFindings();
      },
    );
    this.connection.onRequest('workspace/configuration', ({ items }: { items: { section?: string }[] }) =>
      items.map(({ section }) => (section === 'yaml' ? { validate: true, schemaStore: { enable: false } } : null)),
    );
    this.connection.onRequest(() => null);
    this.connection.listen();
  }

  async open(): Promise<void> {
    const folder = pathToFileURL(this.folder).href;
    await this.connection.sendRequest('initialize', {
      processId: process.pid,
      rootUri: folder,
      workspaceFolders: [{ uri: folder, name: 'bench' }],
      capabilities: {
        workspace: { configuration: true, workspaceFolders: true },
        textDocument: { publishDiagnostics: {} },
      },
    });
    await this.connection.sendNotification('initialized', {});
    const text = this.form.files[this.form.main]!;
    await this.connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri: this.uri, languageId: this.form.language, version: 1, text },
    });
    await this.until((findings) => findings !== undefined);
  }

  async until(holds: (findings: number | undefined) => boolean): Promise<void> {
    const give = setTimeout(() => this.fail(), 60_000);
    await new Promise<void>((resolve) => {
      this.onFindings = () => holds(this.findings) && resolve();
      this.onFindings();
    });
    clearTimeout(give);
  }

  private fail(): never {
    console.error('no answer within a minute: the bench is broken');
    process.exit(2);
  }

  /** Milliseconds until the number of findings is another one than before. */
  async timeEdit(line: number, from: number, to: number, text: string): Promise<number> {
    const before = this.findings;
    const start = performance.now();
    this.change(line, from, to, text);
    await this.until((now) => now !== before);
    return performance.now() - start;
  }

  /** Milliseconds until an edit and the completion asked for right behind it are answered. */
  async timeCompletion(line: number, character: number, text: string): Promise<number> {
    const start = performance.now();
    this.change(line, character, character, text);
    await this.connection.sendRequest('textDocument/completion', {
      textDocument: { uri: this.uri },
      position: { line, character },
    });
    const time = performance.now() - start;
    this.change(line, character, character + text.length, '');
    return time;
  }

  /** Resident memory in MB, now and at its highest; nothing where the system does not say. */
  memory(): { now: number; highest: number } | undefined {
    try {
      const status = readFileSync(`/proc/${this.child.pid}/status`, 'utf8');
      const megabytes = (name: string) => Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(status)![1]) / 1024;
      return { now: megabytes('VmRSS'), highest: megabytes('VmHWM') };
    } catch {
      return undefined;
    }
  }

  /** Asks for the names in the workspace until there are so many. */
  async untilSymbols(query: string, count: number): Promise<void> {
    for (;;) {
      const found = await this.connection.sendRequest<unknown[] | null>('workspace/symbol', { query });
      if ((found?.length ?? 0) >= count) return;
      await pause(10);
    }
  }

  private change(line: number, from: number, to: number, text: string): void {
    const range = { start: { line, character: from }, end: { line, character: to } };
    void this.connection.sendNotification('textDocument/didChange', {
      textDocument: { uri: this.uri, version: ++this.version },
      contentChanges: [{ range, text }],
    });
  }

  close(): void {
    this.connection.dispose();
    this.child.kill();
    rmSync(this.folder, { recursive: true });
  }
}
