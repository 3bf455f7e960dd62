/** A review as one page that needs nothing else, to be printed and signed: words first, colour last and small, legible in black and white. */
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import {
  angleFigures,
  entryText,
  factsOf,
  leftOut,
  needsLook,
  reasonOf,
  remarksOf,
  shiftCaption,
  shortHash,
  standardMoves,
  sumOf,
  titleOf,
  tonerFigures,
  tonersCaption,
  tonersDiffer,
  unreadTexts,
  unreadTitle,
  versionText,
  worstText,
} from '../review-facts.ts';
import { escapeXml as text } from '../xml.ts';
import { FIGURES_STYLE, facts, figures, list, words } from './figures.ts';
import { page } from './page.ts';

const STYLE = `
.sum { color: #333; }
article { border-top: 1px solid #111; padding: .8rem 0 .9rem; }
.figures { display: flex; flex-wrap: wrap; gap: 0 2.5rem; align-items: flex-start; }
td.id { white-space: nowrap; font-weight: bold; }
.screen { color: #333; font-size: 12px; }
.screen i { display: inline-block; width: 2.6rem; height: .8rem; border: 1px solid #111; vertical-align: -1px; margin: 0 .3rem; }
.sign { display: flex; gap: 2rem; margin-top: .8rem; font-size: 13px; break-inside: avoid; }
.sign span { border-bottom: 1px solid #111; flex: 1; padding-bottom: 1.2rem; }
.whole { margin-top: 1.6rem; padding-top: .6rem; border-top: 2px solid #111; break-inside: avoid; }
table, li, .out, .says { break-inside: avoid; }
h2, .says, caption { break-after: avoid; }
`;

export function reviewHtml(review: Review): string {
  const { formulas, entries } = review;
  const [look, rest] = [formulas.filter(needsLook), formulas.filter((one) => !needsLook(one))];
  return page(
    `Review of ${review.after} against ${review.before}`,
    FIGURES_STYLE + STYLE,
    [
      header(review),
      ...(look.length > 1 ? [overview(look)] : []),
      ...look.map((one) => article(one, entries)),
      ...(rest.length > 0 ? [unchanged(rest, entries)] : []),
      ...(entries.length > 0 ? [otherEntries(entries)] : []),
      signature(look.length),
    ].join('\n'),
  );
}

const MOST_COMMITS = 30;

function header(review: Review): string {
  const commits = review.commits.slice(0, MOST_COMMITS);
  const left = review.commits.length - commits.length;
  const rows = commits.map(
    ({ hash, author, date, subject }) =>
      `<tr><td>${text(date.slice(0, 10))}</td><td>${text(author)}</td><td>${text(subject)}</td><td class="hash">${shortHash(hash)}</td></tr>`,
  );
  return [
    `<header><h1>${text([review.shop, 'what changed in the formulas'].filter(Boolean).join(': '))}</h1>`,
    `<p>${text(versionText(review.after, review.afterCommit))} against ${text(versionText(review.before, review.beforeCommit))}</p>`,
    `<p class="sum">${text(sumOf(review))}</p>`,
    ...(review.unread.length > 0
      ? [`<p class="out">${text(unreadTitle(review))}.</p>`, list(unreadTexts(review))]
      : []),
    ...review.notes.map((note) => `<p class="sum">Note: ${text(note)}.</p>`),
    ...(rows.length > 0 ? [`<table>${rows.join('')}</table>`] : []),
    ...(left > 0 ? [`<p class="sum">${leftOut(left)}</p>`] : []),
    '</header>',
  ].join('\n');
}

function overview(formulas: readonly FormulaReview[]): string {
  const rows = formulas.map(
    (one) =>
      `<tr><td class="id">${text(one.id)}</td><td>${text(one.grade)}</td><td>${words(worstText(one) || '–')}</td><td>${words(standardMoves(one) || '–')}</td><td>${text(one.callOuts.map(({ what }) => what).join('; '))}</td></tr>`,
  );
  return `<section><h2>To look at</h2><table><tr><th>formula</th><th>colour</th><th>shift at the worst angle</th><th>off the standard, dE00</th><th>not to be overlooked</th></tr>${rows.join('')}</table></section>`;
}

function article(one: FormulaReview, entries: Review['entries']): string {
  const shift = angleFigures(one);
  const reason = reasonOf(one, entries);
  return [
    '<article>',
    `<h2>${text(titleOf(one))}</h2>`,
    `<div class="place">${text(one.place.file)}:${one.place.line}${reason ? `, ${text(reason)}` : ''}</div>`,
    `<p class="says">${text(one.sentence)}</p>`,
    ...one.callOuts.map(({ text: said }) => `<p class="out">${text(said)}</p>`),
    '<div class="figures">',
    ...(tonersDiffer(one) ? [figures(tonersCaption(one), tonerFigures(one))] : []),
    ...(shift ? [figures(`${shiftCaption(one)}, worst first`, shift)] : []),
    '</div>',
    facts(factsOf(one)),
    list(remarksOf(one)),
    screen(one),
    signLines(['Looked at by', 'on', 'Remark']),
    '</article>',
  ].join('\n');
}

const signLines = (words: readonly string[]): string =>
  `<div class="sign">${words.map((word) => `<span>${word}</span>`).join('')}</div>`;

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

/** A row each: what is not to be looked at one by one. */
function unchanged(formulas: readonly FormulaReview[], entries: Review['entries']): string {
  const rows = formulas.map((one) => {
    const same = /^No change in colour[:.]? ?(?:the same toners in the same ratios\.)?$/;
    const said = [
      ...(same.test(one.sentence) ? [] : [one.sentence.replace(/\.$/, '')]),
      ...factsOf(one).map(({ what, before, after }) => `${what}: ${before} → ${after}`),
      ...remarksOf({ ...one, variants: [] }),
    ];
    return `<tr><td>${text(titleOf(one))}</td><td>${text(reasonOf(one, entries))}</td><td>${words(said.join('; '))}</td></tr>`;
  });
  return `<article><h2>No change in colour</h2><table class="facts"><tr><th>formula</th><th>why it is named</th><th>what else differs</th></tr>${rows.join('')}</table></article>`;
}

function otherEntries(entries: Review['entries']): string {
  const rows = entries.map(
    (one) =>
      `<tr><td>${text(one.entry)}</td><td>${text(entryText(one))}</td><td class="place">${text(one.place.file)}:${one.place.line}</td></tr>`,
  );
  return `<article><h2>Other entries that say something else</h2><table>${rows.join('')}</table></article>`;
}

const signature = (looked: number): string =>
  [
    '<div class="whole">',
    `<h2>Reviewed${looked > 0 ? ` (${looked} to look at)` : ''}</h2>`,
    signLines(['Reviewed by', 'Date', 'Signature']),
    '</div>',
  ].join('\n');
