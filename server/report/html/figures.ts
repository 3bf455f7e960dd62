/** Tables of a review as HTML. */
import type { Fact, Figures } from '../text/review-facts.ts';
import { escapeXml as text } from '../xml.ts';

export const FIGURES_STYLE = `
.facts td:first-child { white-space: nowrap; }
.facts td { vertical-align: top; }
tr.marked td { font-weight: bold; }
.says { margin: .35rem 0; font-size: 1.05rem; }
.out { margin: .35rem 0; padding: .25rem .7rem; border-left: 4px solid #111; font-weight: bold; }
.place, .hash { font: 12px ui-monospace, 'DejaVu Sans Mono', monospace; color: #333; }
`;

export function facts(all: readonly Fact[]): string {
  if (all.length === 0) return '';
  const both = all.some(({ before }) => before !== null);
  const row = ({ what, before, after }: Fact) =>
    before === after
      ? `<tr><td>${text(what)}</td><td colspan="2">${text(after)}, as before</td></tr>`
      : `<tr class="marked"><td>${text(what)}</td>${both ? `<td>${text(before ?? '–')}</td>` : ''}<td>${text(after)}</td></tr>`;
  const head = both ? '<tr><th></th><th>before</th><th>after</th></tr>' : '';
  return `<table class="facts">${head}${all.map(row).join('')}</table>`;
}

export function figures(caption: string, { head, rows, marked, right }: Figures): string {
  const cell = (tag: string) => (words: string, index: number) =>
    `<${tag}${right[index] ? ' class="n"' : ''}>${text(words)}</${tag}>`;
  const body = rows.map(
    (row, index) => `<tr${marked[index] ? ' class="marked"' : ''}>${row.map(cell('td')).join('')}</tr>`,
  );
  return `<table><caption>${text(caption)}</caption><tr>${head.map(cell('th')).join('')}</tr>${body.join('')}</table>`;
}

export const list = (sentences: readonly string[]): string =>
  sentences.length === 0 ? '' : `<ul>${sentences.map((one) => `<li>${text(one)}</li>`).join('')}</ul>`;
