/** A review as one page that needs nothing else, to be printed and signed: words first, colour last and small, legible in black and white. */
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import { entryText, factsOf, sumOf, TONER_HEAD, titleOf, tonerRow, tonersDiffer } from '../text/review.ts';
import { escapeXml as text } from '../xml.ts';

const STYLE = `
:root { color-scheme: light; }
body { font: 15px/1.45 Georgia, 'Liberation Serif', serif; color: #111; background: #fff; max-width: 60rem; margin: 2rem auto; padding: 0 1.5rem; }
h1 { font-size: 1.5rem; margin: 0 0 .3rem; }
h2 { font-size: 1.1rem; margin: 0; }
.sum, .place { color: #333; }
.place { font: 12px ui-monospace, 'DejaVu Sans Mono', monospace; }
article { border-top: 1px solid #111; padding: .9rem 0 1rem; break-inside: avoid; }
.says { margin: .35rem 0; font-size: 1.05rem; }
.out { margin: .35rem 0; padding: .3rem .7rem; border-left: 4px solid #111; font-weight: bold; }
ul { margin: .4rem 0; padding-left: 1.2rem; }
table { border-collapse: collapse; margin: .6rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-style: italic; padding-bottom: .15rem; }
th { text-align: left; font-weight: normal; border-bottom: 1px solid #111; padding: .1rem .9rem .1rem 0; vertical-align: bottom; }
td { padding: .1rem .9rem .1rem 0; border-bottom: 1px solid #ddd; }
.n { text-align: right; }
tr.moved td { font-weight: bold; }
.screen { color: #333; font-size: 12px; }
.screen i { display: inline-block; width: 2.6rem; height: .8rem; border: 1px solid #111; vertical-align: -1px; margin: 0 .3rem; }
.sign { display: flex; gap: 2rem; margin-top: .7rem; font-size: 13px; }
.sign span { border-bottom: 1px solid #111; flex: 1; padding-bottom: 1.1rem; }
@media print { body { margin: 0; max-width: none; font-size: 11pt; } }
`;

export function reviewHtml(review: Review): string {
  return [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>Review of ${text(review.after)} against ${text(review.before)}</title>`,
    `<style>${STYLE}</style></head><body>`,
    `<header><h1>${text(review.after)} against ${text(review.before)}</h1>`,
    `<p class="sum">${text(sumOf(review))}</p>`,
    ...review.notes.map((note) => `<p class="sum">Note: ${text(note)}.</p>`),
    '</header><main>',
    ...review.formulas.map(article),
    ...(review.entries.length > 0 ? [entries(review)] : []),
    '</main></body></html>',
    '',
  ].join('\n');
}

function article(one: FormulaReview): string {
  return [
    '<article>',
    `<h2>${text(titleOf(one))}</h2>`,
    `<div class="place">${text(one.place.file)}:${one.place.line}</div>`,
    `<p class="says">${text(one.sentence)}</p>`,
    ...one.callOuts.map(({ text: said }) => `<p class="out">${text(said)}</p>`),
    list(factsOf(one)),
    ...(tonersDiffer(one) ? [toners(one)] : []),
    ...(one.shift && one.shift.angles[0]!.dE00 > 0 ? [angles(one.shift)] : []),
    screen(one),
    ...(one.grade === 'no change in colour' && one.callOuts.length === 0
      ? []
      : ['<div class="sign"><span>Looked at by</span><span>on</span><span>Remark</span></div>']),
    '</article>',
  ].join('\n');
}

const list = (facts: readonly string[]): string =>
  facts.length === 0 ? '' : `<ul>${facts.map((fact) => `<li>${text(fact)}</li>`).join('')}</ul>`;

function toners({ toners: all }: FormulaReview): string {
  const rows = all.map((toner) => {
    const [name, ...figures] = tonerRow(toner);
    const moved = toner.before?.parts === toner.after?.parts ? '' : ' class="moved"';
    return `<tr${moved}><td>${text(name!)}</td>${figures.map((figure) => `<td class="n">${text(figure)}</td>`).join('')}</tr>`;
  });
  const head = TONER_HEAD.map((word, index) => `<th${index === 0 ? '' : ' class="n"'}>${text(word)}</th>`).join('');
  return `<table><caption>Toners</caption><tr>${head}</tr>${rows.join('')}</table>`;
}

function angles({ angles: all, basis }: NonNullable<FormulaReview['shift']>): string {
  const rows = all.map(
    ({ geometry, dE00, tolerance, direction }) =>
      `<tr${dE00 > tolerance ? ' class="moved"' : ''}><td>${text(geometry)}</td><td class="n">${dE00.toFixed(1)}</td><td class="n">${tolerance.toFixed(1)}</td><td>${text(direction)}</td></tr>`,
  );
  const caption = basis === 'measured' ? 'Measured, from card to card' : 'Predicted';
  return `<table><caption>${caption}, worst angle first</caption><tr><th>angle</th><th class="n">dE00</th><th class="n">allowed</th><th>the new colour is</th></tr>${rows.join('')}</table>`;
}

function screen({ screen: { before, after } }: FormulaReview): string {
  const patch = (word: string, one: typeof before) =>
    one
      ? `${word} <i style="background:${text(one.hex)}"></i><code>${text(one.hex)}</code>${one.outOfGamut ? ' (beyond what a screen shows)' : ''}`
      : `${word}: not known`;
  if (!before && !after) return '';
  const said =
    before?.hex === after?.hex ? patch('colour', after) : `${patch('before', before)}, ${patch('after', after)}`;
  return `<div class="screen">${said}; screen only, not for judging</div>`;
}

function entries({ entries: all }: Review): string {
  const rows = all.map(
    (one) =>
      `<tr><td>${text(one.entry)}</td><td>${text(entryText(one))}</td><td class="place">${text(one.place.file)}:${one.place.line}</td></tr>`,
  );
  return `<article><h2>Other entries that say something else</h2><table>${rows.join('')}</table></article>`;
}
