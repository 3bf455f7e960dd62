/** A review as Markdown, for a comment on a pull request: a short table first, then the details of each formula, folded. */
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import {
  angleFigures,
  differing,
  entryText,
  type Figures,
  factsOf,
  leftOut,
  needsLook,
  quietLine,
  reasonOf,
  remarksOf,
  shiftCaption,
  shortHash,
  stayed,
  sumOf,
  titleOf,
  tonerFigures,
  tonersDiffer,
  unreadTexts,
  unreadTitle,
  versionText,
} from '../review-facts.ts';
import { factText } from '../text/review.ts';
import { escapeMd } from './card.ts';
import { mdTable } from './table.ts';

/** A comment may hold 65,536 characters on the common hosts; what is beyond is told by its number. */
const MOST = 60_000;

export function reviewMarkdown(review: Review): string {
  const { formulas, entries, notes } = review;
  const [look, rest] = [formulas.filter(needsLook), formulas.filter((one) => !needsLook(one))];
  const parts = [
    `### ${escapeMd(versionText(review.after, review.afterCommit))} against ${escapeMd(versionText(review.before, review.beforeCommit))}`,
    escapeMd(sumOf(review)),
    ...(review.unread.length > 0
      ? [
          `> ⚠ **${escapeMd(unreadTitle(review))}.**`,
          unreadTexts(review)
            .map((line) => `- ${escapeMd(line)}`)
            .join('\n'),
        ]
      : []),
    ...notes.map((note) => `> ${escapeMd(note)}.`),
    ...(look.length > 0 ? [overview(look)] : []),
    ...(rest.length > 0
      ? [
          folded(
            'No change in colour',
            some(rest, (one) => quiet(one, entries)),
          ),
        ]
      : []),
    ...(entries.length > 0 ? [folded('Other entries', some(entries, entryLine))] : []),
    ...(review.commits.length > 0 ? [folded('Commits', some(review.commits, commitLine))] : []),
  ];
  return fitted(
    parts,
    look.map((one) => details(one, entries)),
  );
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

const MOST_ROWS = 80;

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

function details(one: FormulaReview, entries: Review['entries']): string {
  const shift = angleFigures(one);
  const facts = factsOf(one);
  const lines = [reasonOf(one, entries), ...differing(facts).map(factText), stayed(facts), ...remarksOf(one)].filter(
    Boolean,
  );
  return folded(
    titleOf(one),
    [
      `${escapeMd(one.place.file)}:${one.place.line}`,
      lines.map((line) => `- ${escapeMd(line)}`).join('\n'),
      ...(tonersDiffer(one) ? [figures(tonerFigures(one))] : []),
      ...(shift ? [`${shiftCaption(one)}, worst first:`, figures(shift)] : []),
    ].join('\n\n'),
  );
}

const figures = ({ head, rows, right }: Figures): string =>
  mdTable(
    head,
    rows.map((row) => row.map(escapeMd)),
    head.map((_, index) => (right[index] ? '--:' : '---')),
  );

const quiet = (one: FormulaReview, entries: Review['entries']): string =>
  `- ${escapeMd([quietLine(one, entries), ...factsOf(one).map(factText), ...remarksOf({ ...one, variants: [] })].join('; '))}`;

const entryLine = (one: Review['entries'][number]): string =>
  `- ${escapeMd(`${one.entry}: ${entryText(one)} (${one.place.file}:${one.place.line})`)}`;

const commitLine = ({ hash, author, date, subject }: Review['commits'][number]): string =>
  `- ${escapeMd(`${shortHash(hash)} ${date.slice(0, 10)} ${author}: ${subject}`)}`;

function some<T>(all: readonly T[], line: (one: T) => string): string {
  const shown = all.slice(0, MOST_ROWS);
  const left = all.length - shown.length;
  return [...shown.map(line), ...(left > 0 ? [`- ${leftOut(left)}`] : [])].join('\n');
}

/** The empty lines make hosts read the inside as Markdown. */
const folded = (title: string, inside: string): string =>
  `<details><summary>${title.replaceAll('&', '&amp;').replaceAll('<', '&lt;')}</summary>\n\n${inside}\n\n</details>`;
