/** Findings for a terminal, one line each, as problem matchers read them: file:line:column: severity: message [code]. */
import type { CheckAnswer } from '../../answers/check.ts';

export function checkText(answer: CheckAnswer): string {
  const lines = answer.findings.map(
    (one) => `${one.file}:${one.line}:${one.column}: ${one.severity}: ${one.message} [${one.code}]`,
  );
  return [...lines, checkSum(answer)].join('\n');
}

/** `1 error, 2 warnings, 0 remarks in 12 entries of 3 files`. */
export function checkSum(answer: CheckAnswer): string {
  const count = (severity: string) => answer.findings.filter((one) => one.severity === severity).length;
  return `${plural(count('error'), 'error')}, ${plural(count('warning'), 'warning')}, ${plural(count('info'), 'remark')} in ${plural(answer.entries, 'entry', 'entries')} of ${plural(answer.files, 'file')}`;
}

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;
