/** Tables of a review as HTML. */
import { differing, type Fact, type Figures, stayed } from '../review-facts.ts';
import { escapeXml as text } from '../xml.ts';

export const FIGURES_STYLE = `
.facts td:first-child { white-space: nowrap; }
.facts td { vertical-align: top; }
tr.marked td { font-weight: bold; }
.says { margin: .35rem 0; font-size: 1.05rem; }
.out { margin: .35rem 0; padding: .25rem .7rem; border-left: 4px solid #111; font-weight: bold; }
.place, .hash { font: 12px ui-monospace, 'DejaVu Sans Mono', monospace; color: #333; }
`;

/** What differs as a table, what stayed as a sentence. */
export function facts(all: readonly Fact[]): string {
  const told = differing(all);
  const both = told.some(({ before }) => before !== null);
  const row = ({ what, before, after }: Fact) =>
    `<tr><td>${words(what)}</td>${both ? `<td>${words(before ?? '–')}</td>` : ''}<td>${words(after)}</td></tr>`;
  const head = both ? '<tr><th></th><th>before</th><th>after</th></tr>' : '';
  return [
    ...(told.length > 0 ? [`<table class="facts">${head}${told.map(row).join('')}</table>`] : []),
    ...(told.length < all.length ? [`<p>${words(stayed(all))}</p>`] : []),
  ].join('\n');
}

/** A figure and its unit stay on one line. */
export const words = (said: string): string =>
  text(said).replace(/(\d) (?=(?:g|g\/l|EUR|dE00|%|coats)(?:[\s,;.)]|$))/g, '$1\u00A0');

export function figures(caption: string, { head, rows, marked, right }: Figures): string {
  const cell = (tag: string) => (words: string, index: number) =>
    `<${tag}${right[index] ? ' class="n"' : ''}>${text(words)}</${tag}>`;
  const body = rows.map(
    (row, index) => `<tr${marked[index] ? ' class="marked"' : ''}>${row.map(cell('td')).join('')}</tr>`,
  );
  return `<table><caption>${text(caption)}</caption><tr>${head.map(cell('th')).join('')}</tr>${body.join('')}</table>`;
}

export const list = (sentences: readonly string[]): string =>
  sentences.length === 0 ? '' : `<ul>${sentences.map((one) => `<li>${words(one)}</li>`).join('')}</ul>`;
