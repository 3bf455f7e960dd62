/** Findings as Markdown, for a comment on a pull request. */
import type { CheckAnswer } from '../../answers/check.ts';
import { escapeMd } from './card.ts';
import { mdTable } from './table.ts';

const MOST_SHOWN = 200;

export function checkMarkdown({ findings, files, entries }: CheckAnswer): string {
  if (findings.length === 0) return `**pourbook check**: no findings in ${entries} entries of ${files} files.`;
  const count = (severity: string) => findings.filter((one) => one.severity === severity).length;
  const shown = findings.slice(0, MOST_SHOWN);
  const left = findings.length - shown.length;
  return [
    `**pourbook check**: ${count('error')} errors, ${count('warning')} warnings, ${count('info')} remarks in ${entries} entries of ${files} files.`,
    mdTable(
      ['where', 'severity', 'finding', 'code'],
      shown.map(({ file, line, column, severity, message, code }) => [
        `${escapeMd(file)}:${line}:${column}`,
        severity,
        escapeMd(message),
        `\`${code}\``,
      ]),
      ['---', '---', '---', '---'],
    ),
    ...(left > 0 ? [`${left} more are not shown.`] : []),
  ].join('\n\n');
}
