/** Which open format a file is in: by what it holds, then by its name. */
import { looksLikeCgats, readCgats } from './cgats.ts';
import { looksLikeCsv, readCsv } from './csv.ts';
import { looksLikeXml, readCxf3 } from './cxf3.ts';
import { FileRefused, ImportFindings, type ImportOptions, type ImportResult } from './imported.ts';
import { decodeText } from './text.ts';

export type OpenFormat = 'CGATS.17' | 'CxF3' | 'CSV';

/**
 * The readings of a file of CGATS.17 (ISO 28178), CxF3 (ISO 17972-1) or CSV. Never throws for anything in the bytes: what is wrong
 * becomes a finding with line and column, and one error leaves no reading.
 */
export function readReadings(bytes: Uint8Array, fileName: string, options: ImportOptions = {}): ImportResult {
  const decoding = new ImportFindings();
  let text: string;
  try {
    text = decodeText(bytes, decoding);
  } catch (refusal) {
    if (!(refusal instanceof FileRefused)) throw refusal;
    return refused(refusal.message, refusal.place.line, refusal.place.column);
  }
  const format = formatOf(text, fileName);
  if (!format) {
    return refused(
      'This is no reading in an open format; export it as CGATS.17, CxF3 or CSV with named columns.',
      1,
      1,
    );
  }
  const { readings, findings } = read(format, text, options);
  return { readings, findings: [...decoding.found, ...findings] };
}

/** Nothing where neither the text nor the name of the file tells. */
export function formatOf(text: string, fileName: string): OpenFormat | undefined {
  if (looksLikeXml(text)) return 'CxF3';
  if (looksLikeCgats(text)) return 'CGATS.17';
  if (looksLikeCsv(text)) return 'CSV';
  const ending = fileName.toLowerCase().split('.').at(-1);
  if (ending === 'cxf' || ending === 'cxf3' || ending === 'xml') return 'CxF3';
  if (ending === 'cgats' || ending === 'cgt' || ending === 'it8') return 'CGATS.17';
  return ending === 'csv' || ending === 'tsv' ? 'CSV' : undefined;
}

function read(format: OpenFormat, text: string, options: ImportOptions): ImportResult {
  if (format === 'CxF3') return readCxf3(text);
  return format === 'CSV' ? readCsv(text, options) : readCgats(text, options);
}

const refused = (message: string, line: number, column: number): ImportResult => ({
  readings: [],
  findings: [{ severity: 'error', message, line, column }],
});
