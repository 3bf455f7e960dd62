/** A review for a terminal: first what has to be looked at, a line each; then each formula, the gravest first; then what need not be. */
import type { FormulaReview } from '../../review/formula.ts';
import type { Review } from '../../review/review.ts';
import {
  angleFigures,
  differing,
  entryText,
  type Fact,
  type Figures,
  factsOf,
  leftOut,
  needsLook,
  quietLine,
  reasonOf,
  remarksOf,
  shiftCaption,
  shortHash,
  standardMoves,
  stayed,
  sumOf,
  titleOf,
  tonerFigures,
  tonersDiffer,
  unreadTexts,
  unreadTitle,
  versionText,
  worstText,
} from '../review-facts.ts';
import { notes } from './figures.ts';
import { table } from './table.ts';

export function reviewText(review: Review): string {
  const { formulas, entries } = review;
  const [look, rest] = [formulas.filter(needsLook), formulas.filter((one) => !needsLook(one))];
  const lines = [
    `${versionText(review.after, review.afterCommit)} against ${versionText(review.before, review.beforeCommit)}: ${sumOf(review)}`,
    ...[unreadTitle(review)].filter(Boolean).map((line) => `! ${line}.`),
    ...unreadTexts(review).map((line) => `    ${line}`),
    ...notes(review.notes),
    ...commitLines(review),
  ];
  if (look.length > 1) lines.push('', 'To look at:', table([OVERVIEW, ...look.map(overviewRow)]));
  for (const one of look) lines.push('', ...formulaText(one, entries));
  if (rest.length > 0) {
    lines.push('', 'No change in colour:');
    for (const one of rest) lines.push(...quietText(one, entries));
  }
  if (entries.length > 0) {
    lines.push('', 'Other entries that say something else:');
    lines.push(table(entries.map((one) => [one.entry, entryText(one), `${one.place.file}:${one.place.line}`])));
  }
  return lines.join('\n');
}

/** More than these nobody reads on a screen. */
const MOST_COMMITS = 12;

function commitLines({ commits }: Review): string[] {
  const shown = commits.slice(0, MOST_COMMITS);
  return [
    ...shown.map(
      ({ hash, date, author, subject }) => `  ${shortHash(hash)}  ${date.slice(0, 10)}  ${author}: ${subject}`,
    ),
    ...(commits.length > shown.length ? [`  ${leftOut(commits.length - shown.length)}`] : []),
  ];
}

const OVERVIEW = ['formula', 'colour', 'shift at the worst angle', 'off the standard', 'not to be overlooked'];

const overviewRow = (one: FormulaReview): string[] => [
  one.id,
  one.grade,
  worstText(one) || '–',
  standardMoves(one) || '–',
  one.callOuts.map(({ what }) => `! ${what}`).join(', '),
];

export function formulaText(one: FormulaReview, entries: Review['entries'] = []): string[] {
  const shift = angleFigures(one);
  const facts = factsOf(one);
  return [
    `${titleOf(one)}  (${one.place.file}:${one.place.line})`,
    `  ${one.sentence}`,
    ...one.callOuts.map(({ text }) => `  ! ${text}`),
    ...sentences([reasonOf(one, entries)]),
    ...differing(facts).map((fact) => `  ${factText(fact)}`),
    ...[stayed(facts)].filter(Boolean).map((line) => `  ${line}`),
    ...remarksOf(one).map((remark) => `  ${remark}`),
    ...(tonersDiffer(one) ? figures(tonerFigures(one)) : []),
    ...(shift ? [`  ${shiftCaption(one)}, worst first:`, ...figures(shift)] : []),
  ];
}

const sentences = (texts: readonly string[]): string[] =>
  texts.filter(Boolean).map((text) => `  ${text[0]!.toUpperCase()}${text.slice(1)}.`);

/** `Coats to hide: 0.8 (predicted) → 0.7 (predicted)`. */
export function factText({ what, before, after }: Fact): string {
  if (before === null) return `${what}: ${after}`;
  return `${what}: ${before} → ${after}`;
}

/** A line, and what differs besides. */
function quietText(one: FormulaReview, entries: Review['entries']): string[] {
  return [
    `  ${quietLine(one, entries)}`,
    ...factsOf(one).map((fact) => `    ${factText(fact)}`),
    ...remarksOf({ ...one, variants: [] }).map((remark) => `    ${remark}`),
  ];
}

export const figures = ({ head, rows, right }: Figures): string[] => [
  table(
    [head, ...rows],
    right.map((is) => (is ? 'right' : 'left')),
    '    ',
  ),
];
