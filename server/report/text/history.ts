/** The history of an entry for a terminal: who changed what when, and the path of its colour. */
import type { HistoryAnswer, HistoryStep } from '../../review/history.ts';
import { anglesShown, PATH_HEAD, pathRows, type Version, versionsOf } from '../history-path.ts';
import { differing, entryText, factsOf, remarksOf, shortHash, tonerFigures, tonersDiffer } from '../review-facts.ts';
import { factText, figures } from './review.ts';
import { table } from './table.ts';

export function historyText(answer: HistoryAnswer, angle = 'worst'): string {
  const { steps } = answer;
  const versions = versionsOf(answer);
  const shown = anglesShown(versions, angle);
  return [
    ...steps.flatMap((step, index) => [...stepText(step, steps.length - index), '']),
    ...endOf(answer),
    ...shown.flatMap((geometry) => [...pathText(versions, geometry), '']),
  ]
    .join('\n')
    .trimEnd();
}

/** Where the history goes on, or that there is none. */
export function endOf({ id, steps, cutOff }: HistoryAnswer): string[] {
  if (cutOff === 'shallow')
    return ['The clone is shallow: what came before is not here. Fetch it with git fetch --unshallow.', ''];
  if (cutOff === 'limit') return ['There is more; see it with a larger --limit.', ''];
  return steps.length === 0 ? [`No commit changed what ${id} means.`] : [];
}

function stepText(step: HistoryStep, number: number): string[] {
  const { commit, author, date, subject, id, formula, entry } = step;
  const head = `${number}  ${shortHash(commit)}  ${date.slice(0, 16).replace('T', ' ')}  ${author}: ${subject}`;
  if (entry) return [head, `  ${id}: ${entryText(entry)}`];
  if (!formula) return [head];
  return [
    head,
    `  ${nameOf(step)}: ${formula.sentence}`,
    ...formula.callOuts.map(({ text }) => `  ! ${text}`),
    ...differing(factsOf(formula)).map((fact) => `  ${factText(fact)}`),
    ...remarksOf({ ...formula, variants: [] }).map((remark) => `  ${remark}`),
    ...(tonersDiffer(formula) ? figures(tonerFigures(formula)) : []),
  ];
}

export const nameOf = ({ id, formula }: HistoryStep): string =>
  formula?.was === 'renamed' ? `${id}, renamed from ${formula.from}` : id;

function pathText(versions: readonly Version[], geometry: string): string[] {
  const rows = pathRows(versions, geometry);
  return [
    `Its colour at ${geometry}, the oldest version first:`,
    table([PATH_HEAD, ...rows], ['right', 'left', 'right', 'left', 'right', 'right', 'right']),
  ];
}
