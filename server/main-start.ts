/**
 * What `pourbook` starts: it loads the command line beside it and keeps what the engine compiled of it in the person's cache folder, so
 * that the next start of the same verb need not compile it again. Without such a folder, or with another version of Node or of the
 * program, all goes as without this file, only slower.
 */
import { isAscii } from 'node:buffer';
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { Script } from 'node:vm';

const PROGRAM = join(__dirname, 'pourbook-program.cjs');
/** Bytes of a SHA-1. */
const SEAL = 20;

/**
 * These verbs do a little of very much, once, and end: code that runs a few thousand times is not worth optimising, which takes a quarter
 * of a review's processor time, and marking what is in use a little at a time beside the work saves pauses that nobody would notice. The
 * names and defaults of the engine's settings go with the version of Node; others are left alone.
 */
const BRIEFLY: Readonly<Record<string, string>> = {
  '20': '--interrupt-budget=1000000 --no-incremental-marking',
  '22': '--invocation-count-for-turbofan=30000',
  '24': '--invocation-count-for-turbofan=30000',
};
const BRIEF = new Set(['review', 'history', 'merge', 'bisect']);

const verb = process.argv[2] ?? '';
const briefly = BRIEFLY[process.versions.node.split('.')[0]!];
if (briefly !== undefined && BRIEF.has(verb)) setFlagsFromString(briefly);

start();

function start(): void {
  const source = programText();
  const file = keptFile();
  const script = new Script(`(function (require, __filename, __dirname) {${source}\n})`, {
    filename: PROGRAM,
    cachedData: file === undefined ? undefined : read(file),
  });
  if (file !== undefined && script.cachedDataRejected !== false)
    process.once('exit', () => write(file, script.createCachedData()));
  script.runInThisContext()(createRequire(PROGRAM), PROGRAM, dirname(PROGRAM));
}

/** What was bundled is plain ASCII, which need not be decoded. */
function programText(): string {
  const bytes = readFileSync(PROGRAM);
  return isAscii(bytes) ? bytes.toString('latin1') : bytes.toString();
}

/** One file for each verb, since each needs another part of the program, and for each Node; nothing where there is no place for it. */
function keptFile(): string | undefined {
  const folder = cacheFolder();
  if (!folder || !/^[a-z-]{1,20}$/.test(verb)) return undefined;
  return join(folder, 'pourbook', `${verb}-${digest(PROGRAM, process.version).toString('hex', 0, 8)}.compiled`);
}

function digest(...of: (string | Buffer)[]): Buffer {
  const hash = createHash('sha1');
  for (const one of of) hash.update(one);
  return hash.digest();
}

/**
 * Stands before the compiled code. That holds for this program and this Node only, and must be whole: the engine looks no closer than at
 * the length of the program, and ends the process over damaged code.
 */
function sealOf(data: Buffer): Buffer {
  const { mtimeMs, size } = statSync(PROGRAM);
  return digest(`${mtimeMs} ${size} ${process.version} ${process.arch} `, data);
}

/** Where the system wants caches of this person: nobody else may write there, for what lies there is run. */
function cacheFolder(): string | undefined {
  try {
    if (process.platform === 'win32') return process.env.LOCALAPPDATA;
    if (process.platform === 'darwin') return join(homedir(), 'Library', 'Caches');
    return process.env.XDG_CACHE_HOME || join(homedir(), '.cache');
  } catch {
    return undefined; // no home
  }
}

function read(file: string): Buffer | undefined {
  try {
    const kept = readFileSync(file);
    const data = kept.subarray(SEAL);
    return kept.subarray(0, SEAL).equals(sealOf(data)) ? data : undefined;
  } catch {
    return undefined; // not kept yet
  }
}

/** Put in place whole, so that another start never reads half of it. */
function write(file: string, data: Buffer): void {
  try {
    mkdirSync(dirname(file), { recursive: true, mode: 0o700 });
    const part = `${file}.${process.pid}`;
    writeFileSync(part, Buffer.concat([sealOf(data), data]), { mode: 0o600 });
    renameSync(part, file);
  } catch {
    // A folder that cannot be written makes the next start as slow as this one, no more.
  }
}
