/** Findings for a terminal, one line each, as problem matchers read them: file:line:column: severity: message [code]. */
import type { CheckAnswer } from '../../answers/check.ts';

export function checkText(answer: CheckAnswer): string {
  const lines = answer.findings.map(
    (one) => `${one.file}:${one.line}:${one.column}: ${one.severity}: ${one.message} [${one.code}]`,
  );
  const count = (severity: string) => answer.findings.filter((one) => one.severity === severity).length;
  const sum = `${plural(count('error'), 'error')}, ${plural(count('warning'), 'warning')}, ${plural(count('info'), 'remark')} in ${plural(answer.entries, 'entry', 'entries')} of ${plural(answer.files, 'file')}`;
  return [...lines, sum].join('\n');
}

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;
