/** The history of an entry for a terminal: who changed what when, and where the colour went. */
import type { HistoryAnswer, HistoryStep } from '../../review/history.ts';
import { factText, figures } from './review.ts';
import { entryText, factsOf, remarksOf, tonerFigures, tonersDiffer } from './review-facts.ts';
import { table } from './table.ts';

export function historyText({ id, steps, cutOff }: HistoryAnswer): string {
  const lines = steps.flatMap((step) => [...stepText(step), '']);
  if (cutOff === 'shallow')
    lines.push('The clone is shallow: what came before is not here. Fetch it with git fetch --unshallow.');
  if (cutOff === 'limit') lines.push('There is more; see it with a larger --limit.');
  if (steps.length === 0) lines.push(`No commit changed what ${id} means.`);
  const path = colourPath(steps);
  return [
    ...lines,
    ...(path.length > 1
      ? ['Measured against the standard, oldest first:', table(path, ['left', 'left', 'right', 'left'])]
      : []),
  ]
    .join('\n')
    .trimEnd();
}

function stepText({ commit, author, date, subject, id, formula, entry }: HistoryStep): string[] {
  const head = `${commit.slice(0, 10)}  ${date.slice(0, 16).replace('T', ' ')}  ${author}: ${subject}`;
  if (entry) return [head, `  ${id}: ${entryText(entry)}`];
  if (!formula) return [head];
  return [
    head,
    `  ${formula.was === 'renamed' ? `${id}, renamed from ${formula.from}` : id}: ${formula.sentence}`,
    ...formula.callOuts.map(({ text }) => `  ! ${text}`),
    ...factsOf(formula).map((fact) => `  ${factText(fact)}`),
    ...remarksOf(formula).map((remark) => `  ${remark}`),
    ...(tonersDiffer(formula) ? figures(tonerFigures(formula)) : []),
  ];
}

/** Where the cards stood after each step. */
function colourPath(steps: readonly HistoryStep[]): string[][] {
  const rows = steps.toReversed().flatMap(({ date, formula }) => {
    const off = formula?.againstStandard.after;
    return off
      ? [[date.slice(0, 10), off.card, `${off.worst.dE00.toFixed(1)} dE00 at ${off.worst.geometry}`, off.differs]]
      : [];
  });
  return rows.filter((row, index) => index === 0 || row.slice(1).join() !== rows[index - 1]!.slice(1).join());
}
