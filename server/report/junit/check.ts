import type { CheckAnswer } from '../../answers/check.ts';
import { junitText } from './junit.ts';

/** A suite per file with findings, a case per finding; a remark is no failure; a book without findings is one case that passes. */
export function checkJUnit({ findings, files, entries }: CheckAnswer): string {
  const suites = [...byFile(findings)].map(([file, found]) => ({
    name: file,
    cases: found.map(({ code, line, column, severity, message }) => ({
      name: `${code} at ${line}:${column}`,
      place: `${file}:${line}:${column}`,
      ...(severity === 'info'
        ? { said: message }
        : { failure: { type: `${severity} ${code}`, message, text: message } }),
    })),
  }));
  const clean = { name: 'the book', cases: [{ name: `${entries} entries in ${files} files`, place: '' }] };
  return junitText('pourbook check', suites.length > 0 ? suites : [clean]);
}

function byFile(findings: CheckAnswer['findings']): Map<string, CheckAnswer['findings'][number][]> {
  const found = new Map<string, CheckAnswer['findings'][number][]>();
  for (const one of findings) found.set(one.file, [...(found.get(one.file) ?? []), one]);
  return found;
}
