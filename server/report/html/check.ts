/** Findings as one page that needs nothing else: errors first, file by file, with what each kind means below. */
import type { CheckAnswer, CheckedFinding } from '../../answers/check.ts';
import { pages } from '../../book/manual.ts';
import { checkSum } from '../text/check.ts';
import { escapeXml as text } from '../xml.ts';
import { page } from './page.ts';

const STYLE = `
td { vertical-align: baseline; }
.place { font: 12px ui-monospace, 'DejaVu Sans Mono', monospace; white-space: nowrap; }
code { font: 13px ui-monospace, 'DejaVu Sans Mono', monospace; }
tr.error td.severity { font-weight: bold; }
tr, dt { break-inside: avoid; }
dt { font-weight: bold; margin-top: .5rem; break-after: avoid; }
dd { margin: .1rem 0 0 1.2rem; }
`;

const SEVERITIES = ['error', 'warning', 'info'] as const;
const WORDS = { error: 'error', warning: 'warning', info: 'remark' } as const;

export function checkHtml(answer: CheckAnswer): string {
  const { findings } = answer;
  const codes = [...new Set(findings.map(({ code }) => code))].sort();
  return page(
    'Findings of the book',
    STYLE,
    [
      `<header><h1>Findings</h1><p>${text(checkSum(answer))}</p></header>`,
      ...[...new Set(findings.map(({ file }) => file))].map((file) =>
        section(
          file,
          findings.filter((one) => one.file === file),
        ),
      ),
      ...(codes.length > 0 ? [meanings(codes)] : []),
    ].join('\n'),
  );
}

function section(file: string, findings: readonly CheckedFinding[]): string {
  const gravest = findings.toSorted((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
  const rows = gravest.map(
    ({ line, column, severity, message, code }) =>
      `<tr class="${severity}"><td class="place">${line}:${column}</td><td class="severity">${WORDS[severity]}</td><td>${text(message)} <code>${text(code)}</code></td></tr>`,
  );
  return `<section><h2>${text(file)}</h2><table>${rows.join('')}</table></section>`;
}

function meanings(codes: readonly string[]): string {
  const entries = codes.flatMap((code) => {
    const found = pages.get(code);
    return found ? [`<dt>${text(found.title)} <code>${text(code)}</code></dt><dd>${ticked(found.text)}</dd>`] : [];
  });
  return `<section><h2>What they mean</h2><dl>${entries.join('')}</dl></section>`;
}

/** The manual puts what is typed between ticks. */
const ticked = (words: string): string => text(words).replace(/`([^`]+)`/g, '<code>$1</code>');
