/** A review as Markdown, for a comment on a pull request: a short table first, then the details of each formula, folded. */
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import { entryText, factsOf, sumOf, TONER_HEAD, titleOf, tonerRow, tonersDiffer } from '../text/review.ts';
import { escapeMd } from './card.ts';
import { mdTable } from './table.ts';

/** A comment may hold 65,536 characters on the common hosts; what is beyond is told by its number. */
const MOST = 60_000;

export function reviewMarkdown(review: Review): string {
  const parts = [
    `### ${escapeMd(review.after)} against ${escapeMd(review.before)}`,
    escapeMd(sumOf(review)),
    ...review.notes.map((note) => `> ${escapeMd(note)}.`),
  ];
  if (review.formulas.length > 0) parts.push(overview(review.formulas));
  if (review.entries.length > 0) parts.push(folded('Other entries', entries(review)));
  return fitted(parts, review.formulas.map(details));
}

function fitted(parts: string[], detail: readonly string[]): string {
  let length = parts.join('\n\n').length;
  let shown = 0;
  for (const one of detail) {
    length += one.length + 2;
    if (length > MOST) break;
    parts.push(one);
    shown++;
  }
  if (shown < detail.length)
    parts.push(`The details of ${detail.length - shown} more formulas are left out here: see the HTML page.`);
  return parts.join('\n\n');
}

const MOST_ROWS = 100;

function overview(formulas: readonly FormulaReview[]): string {
  const rows = formulas
    .slice(0, MOST_ROWS)
    .map((one) => [
      `**${escapeMd(one.id)}** ${escapeMd(one.name)}`,
      `${escapeMd(one.sentence)}${one.callOuts.map(({ text }) => `<br>⚠ ${escapeMd(text)}`).join('')}`,
      screen(one),
    ]);
  const left = formulas.length - rows.length;
  const table = mdTable(['formula', 'what it does to the colour', 'screen only, not for judging'], rows, [
    '---',
    '---',
    '---',
  ]);
  return left > 0 ? `${table}\n\n${left} more formulas are not in this table.` : table;
}

function screen({ screen: { before, after } }: FormulaReview): string {
  const code = (one: typeof before) => (one ? `\`${one.hex}\`` : '–');
  return before?.hex === after?.hex ? code(after) : `${code(before)} → ${code(after)}`;
}

function details(one: FormulaReview): string {
  const parts = [`${escapeMd(one.place.file)}:${one.place.line}`];
  const facts = factsOf(one);
  if (facts.length > 0) parts.push(facts.map((fact) => `- ${escapeMd(fact)}`).join('\n'));
  if (tonersDiffer(one))
    parts.push(
      mdTable(
        TONER_HEAD,
        one.toners.map((toner) => tonerRow(toner).map(escapeMd)),
        ['---', ...TONER_HEAD.slice(1).map(() => '--:' as const)],
      ),
    );
  if (one.shift && one.shift.angles[0]!.dE00 > 0) parts.push(angles(one.shift));
  return folded(titleOf(one), parts.join('\n\n'));
}

const angles = ({ angles: all, basis }: NonNullable<FormulaReview['shift']>): string =>
  mdTable(
    [
      'angle',
      `dE00 (${basis === 'measured' ? 'measured, card to card' : 'predicted'})`,
      'allowed',
      'the new colour is',
    ],
    all.map(({ geometry, dE00, tolerance, direction }) => [geometry, dE00.toFixed(1), tolerance.toFixed(1), direction]),
    ['---', '--:', '--:', '---'],
  );

const entries = ({ entries: all }: Review): string =>
  all.map((one) => `- ${escapeMd(`${one.entry}: ${entryText(one)} (${one.place.file}:${one.place.line})`)}`).join('\n');

/** The empty lines make hosts read the inside as Markdown. */
const folded = (title: string, inside: string): string =>
  `<details><summary>${title.replaceAll('&', '&amp;').replaceAll('<', '&lt;')}</summary>\n\n${inside}\n\n</details>`;
