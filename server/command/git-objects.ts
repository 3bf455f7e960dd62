/** Objects of a git repository, read by one process however many are asked for. */
import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { environment, problem } from './git-process.ts';

export interface GitObject {
  /** Its full name, 40 or 64 hexadecimal digits. */
  readonly id: string;
  readonly type: string;
  /** They hold until the next object comes: the same memory serves for all, since fresh memory takes as long as reading. */
  readonly bytes: Buffer;
}

interface Waiting {
  readonly take: (object: GitObject | undefined) => void;
  readonly fail: (error: Error) => void;
}

const LINE_END = 0x0a;

export class Objects {
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly waiting: Waiting[] = [];
  private next = 0;
  private said = '';
  private failure: Error | undefined;
  private head = '';
  private room = Buffer.alloc(0);
  /** The object whose bytes are coming, with the line end behind it. */
  private coming: { readonly object: GitObject; readonly bytes: Buffer; filled: number } | undefined;

  constructor(folder: string) {
    this.child = spawn('git', ['--no-optional-locks', 'cat-file', '--batch'], { cwd: folder, env: environment() });
    this.child.stdout.on('data', (piece: Buffer) => this.unpack(piece));
    this.child.stderr.on('data', (piece: Buffer) => {
      this.said += piece.toString();
    });
    this.child.stdin.on('error', () => {});
    this.child.on('error', (error) => this.fail(problem(error, this.said)));
    this.child.on('close', () => this.fail(problem(new Error('git ended early'), this.said)));
  }

  /**
   * What is made of an object as soon as it comes; nothing for one that is not there (a partial clone).
   * @param name an object's full name, or that of a commit with `^{tree}` behind it: nothing that a person wrote.
   * @throws GitProblem with git's own words.
   */
  read<T>(name: string, make: (object: GitObject) => T): Promise<T | undefined> {
    return new Promise((done, reject) => {
      if (this.failure) return reject(this.failure);
      this.waiting.push({ take: (object) => done(object && make(object)), fail: reject });
      this.child.stdin.write(`${name}\n`);
    });
  }

  close(): void {
    this.child.stdin.end();
  }

  private fail(error: Error): void {
    this.failure ??= error;
    for (const { fail } of this.waiting.splice(0).slice(this.next)) fail(error);
    this.next = 0;
  }

  /** `ID TYPE SIZE`, a line end, the bytes, a line end; or `NAME missing`. It comes in pieces. */
  private unpack(piece: Buffer): void {
    for (let at = 0; at < piece.length; ) {
      if (!this.coming) at = this.unpackHead(piece, at);
      const { coming } = this;
      if (!coming) continue;
      const copied = piece.copy(coming.bytes, coming.filled, at);
      at += copied;
      coming.filled += copied;
      if (coming.filled < coming.bytes.length) continue;
      this.coming = undefined;
      this.answer(coming.object);
    }
  }

  private unpackHead(piece: Buffer, at: number): number {
    const end = piece.indexOf(LINE_END, at);
    this.head += piece.toString('latin1', at, end < 0 ? piece.length : end);
    if (end < 0) return piece.length;
    const [id, type, size] = this.head.split(' ');
    this.head = '';
    if (size === undefined) this.answer(undefined);
    else {
      const length = Number(size) + 1;
      if (this.room.length < length) this.room = Buffer.allocUnsafeSlow(length);
      const bytes = this.room.subarray(0, length);
      this.coming = { object: { id: id!, type: type!, bytes: bytes.subarray(0, -1) }, bytes, filled: 0 };
    }
    return end + 1;
  }

  private answer(object: GitObject | undefined): void {
    this.waiting[this.next++]!.take(object);
  }
}

export interface TreeEntry {
  /** As git writes it: `100644` a file, `100755` one that can be run, `40000` a folder, `120000` a link, `160000` a submodule. */
  readonly mode: string;
  readonly name: string;
  readonly id: string;
}

/** A folder as git keeps it: mode, a blank, the name, a NUL and the bytes of the object's name, for each entry. */
export function treeEntries({ id, bytes }: GitObject): TreeEntry[] {
  const width = id.length / 2;
  const entries: TreeEntry[] = [];
  for (let at = 0; at < bytes.length; ) {
    const blank = bytes.indexOf(0x20, at);
    const nul = bytes.indexOf(0, blank);
    entries.push({
      mode: bytes.toString('latin1', at, blank),
      name: bytes.toString('utf8', blank + 1, nul),
      id: bytes.toString('hex', nul + 1, nul + 1 + width),
    });
    at = nul + 1 + width;
  }
  return entries;
}
