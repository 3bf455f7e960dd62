/**
 * Bytes to text. Exports come in UTF-8, in UTF-16 with a byte order mark, and in the one-byte Windows code page; guessing further
 * would put wrong letters into names without anybody noticing, so everything else is refused.
 */
import { type FilePlace, FileRefused, type ImportFindings, quote } from './imported.ts';

/** 16 MiB: some thousand readings of several angles; more is not an instrument's export. */
export const LARGEST_FILE = 16 * 1024 * 1024;
/** Characters in a line of CGATS or CSV: room for 2,000 numbers. XML has no lines to speak of and is bounded by other limits. */
export const LONGEST_LINE = 64 * 1024;

const START: FilePlace = { line: 1, column: 1 };

/**
 * The text with lines ending in LF. Throws FileRefused where the bytes are no text.
 * Rule: a byte order mark decides; without one it is UTF-8; bytes that are not valid UTF-8 are read as Windows-1252 (which holds
 * Latin-1) and a warning says so, except in XML, where the declaration decides and UTF-8 is the default (XML 1.0, 4.3.3).
 */
export function decodeText(bytes: Uint8Array, findings: ImportFindings): string {
  if (bytes.length > LARGEST_FILE) {
    throw new FileRefused('The file is larger than 16 MB; export fewer readings at a time.', START);
  }
  if (bytes.length === 0) throw new FileRefused('The file is empty; export it again.', START);
  const text = withoutEndMark(decode(bytes, findings)).replace(/\r\n?/g, '\n');
  refuseControls(text);
  if (text.trim() === '') throw new FileRefused('There is nothing but blanks in the file; export it again.', START);
  return text;
}

/** Throws FileRefused at the first line that is too long to be a row of readings. */
export function refuseLongLines(text: string): void {
  let start = 0;
  for (let line = 1; start <= text.length; line++) {
    const end = text.indexOf('\n', start);
    const length = (end < 0 ? text.length : end) - start;
    if (length > LONGEST_LINE) {
      throw new FileRefused(`The line is longer than ${LONGEST_LINE} characters; export one reading a line.`, {
        line,
        column: LONGEST_LINE + 1,
      });
    }
    if (end < 0) return;
    start = end + 1;
  }
}

/** Line and column of an offset in text whose lines end in LF. */
export function placeAt(text: string, offset: number): FilePlace {
  let line = 1;
  let start = 0;
  for (let end = text.indexOf('\n'); end >= 0 && end < offset; end = text.indexOf('\n', start)) {
    line++;
    start = end + 1;
  }
  return { line, column: offset - start + 1 };
}

function decode(bytes: Uint8Array, findings: ImportFindings): string {
  const [b0, b1, b2, b3] = bytes;
  if (b0 === 0xff && b1 === 0xfe && b2 === 0 && b3 === 0) throw new FileRefused(UTF32, START);
  if (b0 === 0 && b1 === 0 && b2 === 0xfe && b3 === 0xff) throw new FileRefused(UTF32, START);
  if (b0 === 0xff && b1 === 0xfe) return strictly('utf-16le', bytes);
  if (b0 === 0xfe && b1 === 0xff) return strictly('utf-16be', bytes);
  if (b0 === 0x50 && b1 === 0x4b && b2 === 3) {
    throw new FileRefused('This is a packed file or a spreadsheet; unpack it, or save the sheet as CSV.', START);
  }
  refuseNul(bytes);
  if (b0 === 0xef && b1 === 0xbb && b2 === 0xbf) return strictly('utf-8', bytes);
  return undeclared(bytes, findings);
}

const UTF32 = 'The file is in UTF-32; save it as UTF-8.';

function undeclared(bytes: Uint8Array, findings: ImportFindings): string {
  const head = new TextDecoder('windows-1252').decode(bytes.subarray(0, 200)).trimStart();
  const declared = head.startsWith('<?xml')
    ? /^<\?xml[^>]*?encoding\s*=\s*["']([^"']*)["']/.exec(head)?.[1]
    : undefined;
  if (!head.startsWith('<')) return utf8(bytes) ?? windows(bytes, findings);
  if (declared === undefined || /^(utf-?8|us-ascii|ascii)$/i.test(declared)) return strictly('utf-8', bytes);
  if (/^(iso-8859-1|latin-?1|windows-1252|cp-?1252)$/i.test(declared)) return strictly('windows-1252', bytes);
  throw new FileRefused(`The XML says that it is in ${quote(declared)}; save it as UTF-8.`, START);
}

function utf8(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** Decodes, or refuses at the first byte that the encoding does not know. */
function strictly(encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252', bytes: Uint8Array): string {
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch {
    const lenient = new TextDecoder(encoding).decode(bytes).replace(/\r\n?/g, '\n');
    const bad = Math.max(0, lenient.indexOf('\ufffd'));
    const name = encoding.toUpperCase().replace(/LE$|BE$/, '');
    throw new FileRefused(`This is not valid ${name}; save the file as UTF-8.`, placeAt(lenient, bad));
  }
}

/** Bytes that Windows-1252 leaves open; browsers decode them to control characters, which `refuseControls` would name badly. */
const OPEN_IN_WINDOWS = /[\u0081\u008d\u008f\u0090\u009d]/;

function windows(bytes: Uint8Array, findings: ImportFindings): string {
  const text = new TextDecoder('windows-1252').decode(bytes);
  const lines = text.replace(/\r\n?/g, '\n');
  const open = lines.search(OPEN_IN_WINDOWS);
  if (open >= 0) {
    throw new FileRefused('The file is neither UTF-8 nor Windows-1252; save it as UTF-8.', placeAt(lines, open));
  }
  const high = [...lines.matchAll(/[^\u0000-\u007f]/g)];
  if (high.length > lines.length / 4) {
    throw new FileRefused(
      'The file is not text in a known encoding; save it as UTF-8.',
      placeAt(lines, high[0]!.index),
    );
  }
  findings.warning(
    placeAt(lines, high[0]?.index ?? 0),
    'The file is not UTF-8 and was read as Windows-1252; check the letters in its names, or save it as UTF-8.',
  );
  return text;
}

function refuseNul(bytes: Uint8Array): void {
  const nul = bytes.indexOf(0);
  if (nul < 0) return;
  const before = new TextDecoder('windows-1252').decode(bytes.subarray(0, nul)).replace(/\r\n?/g, '\n');
  const likely = nul < 2 && bytes.length > 3 && (bytes[2] === 0 || bytes[3] === 0);
  throw new FileRefused(
    likely
      ? 'The file looks like UTF-16 without a byte order mark; save it as UTF-8.'
      : 'There is a zero byte here, so this is no text file; export it as text, XML or CSV.',
    placeAt(before, before.length),
  );
}

/** Old systems close a text file with Control-Z. */
const withoutEndMark = (text: string): string => (text.endsWith('\u001a') ? text.slice(0, -1) : text);

function refuseControls(text: string): void {
  const at = text.search(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/);
  if (at < 0) return;
  const code = text.charCodeAt(at).toString(16).padStart(4, '0').toUpperCase();
  throw new FileRefused(
    `There is a control character (U+${code}) here; the file is damaged or no text, export it again.`,
    placeAt(text, at),
  );
}
