/** One entry laid open, for a terminal. */
import { benchDifference } from '../../answers/number.ts';
import type { FormulaAnswer, ReadingAnswer, ShowAnswer } from '../../answers/show.ts';
import { undercoatText } from './mix.ts';
import { table } from './table.ts';

export const showText = (answer: ShowAnswer): string =>
  'toners' in answer ? formulaText(answer) : readingText(answer);

function readingText(answer: ReadingAnswer): string {
  const head = `${answer.kind} ${answer.id} "${answer.name}"${answer.taken ? `, taken ${answer.taken}` : ''}${answer.instrument ? ` with ${answer.instrument}` : ''}`;
  const rows = answer.colours.map((colour) => [
    colour.geometry,
    `${colour.illuminant}/${colour.observer}`,
    ...colour.lab.map((value) => value.toFixed(2)),
    colour.from === 'spectrum' ? 'from its spectrum' : 'as read',
  ]);
  const { repeat } = answer;
  const repeated = repeat.mcdm
    ? `${repeat.takes} takes; they differ from their mean by ${repeat.mcdm.dE00.toFixed(2)} dE00 on average, at most ${repeat.largest!.dE00.toFixed(2)} (at ${repeat.geometry})`
    : `${repeat.takes === 1 ? 'one take' : `${repeat.takes} takes`}: how well it repeats is not known`;
  const outlier = repeat.outlier
    ? `\nTake ${repeat.outlier.take} at ${repeat.outlier.geometry} is out of line: repeat it, or leave it out with: without take ${repeat.outlier.take} at ${repeat.outlier.geometry} "…"`
    : '';
  return `${head}\n${table([['angle', 'light', 'L*', 'a*', 'b*', ''], ...rows], ['left', 'left', 'right', 'right', 'right'])}\n${repeated}${outlier}`;
}

function formulaText(answer: FormulaAnswer): string {
  const lines = [
    `${answer.kind} ${answer.id} "${answer.name}"${answer.lineage.length > 1 ? `, from ${answer.lineage.slice(1).join(', ')}` : ''}${answer.status ? `, ${answer.status}` : ''}`,
  ];
  if (answer.undercoat && 'pours' in answer.undercoat) lines.push(...undercoatText(answer.undercoat));
  else
    lines.push(
      answer.undercoat
        ? `Undercoat first: ${answer.undercoat.undercoat} grey ${answer.undercoat.grey}`
        : 'Undercoat: the formula names none.',
    );
  const rows = answer.toners.map((toner) => [
    toner.code,
    toner.parts,
    `${toner.share.toFixed(2)} %`,
    toner.grams ?? '',
    toner.cumulative ?? '',
  ]);
  const target = answer.target ? `${answer.target} g as ${answer.as}` : 'no target weight';
  lines.push(
    `Colour, ${target}:`,
    table([['toner', 'parts', 'share', 'pour g', 'running g'], ...rows], ['left', 'right', 'right', 'right', 'right']),
    `  total ${answer.total} parts`,
  );
  lines.push(differenceText(answer));
  if (answer.earlierCards.length > 0)
    lines.push(`Cards of an earlier formula (their difference is history): ${answer.earlierCards.join(', ')}`);
  return lines.join('\n');
}

function differenceText(answer: FormulaAnswer): string {
  if (!answer.standard) return 'No standard is named, so there is nothing to compare with.';
  if (!answer.sprayout) return `Not sprayed yet: no card shows the formula as it is now against ${answer.standard}.`;
  const rows = answer.difference.map((one) => [
    one.geometry,
    `${one.illuminant}/${one.observer}`,
    benchDifference(one.dE00),
  ]);
  return `Card ${answer.sprayout} against ${answer.standard} (dE00), worst first:\n${table(rows, ['left', 'left', 'right'])}`;
}
