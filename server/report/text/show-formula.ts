/** A formula or variant for a terminal: the grey and the pours, then how near its card comes. */

import { benchDifference } from '../../answers/number.ts';
import type { FormulaAnswer } from '../../answers/show-formula.ts';
import { sheetWords } from '../../answers/undercoat-sheet.ts';
import { againstText } from './against.ts';
import { notes } from './figures.ts';
import { undercoatText } from './mix.ts';
import { predictedText } from './predicted.ts';
import { flopText } from './show-reading.ts';
import { table } from './table.ts';
import { verdictText } from './verdict.ts';

export function formulaText(answer: FormulaAnswer): string {
  const from = answer.lineage.length > 1 ? `, from ${answer.lineage.slice(1).join(', ')}` : '';
  const lines = [
    `${answer.kind} ${answer.id} "${answer.name}"${from}${answer.status ? `, ${answer.status}` : ''}`,
    ...greyText(answer),
    ...pourText(answer),
    ...differenceText(answer),
    ...predictedText(answer),
  ];
  if (answer.sprayout) lines.push(...flopText(answer, answer.difference));
  if (answer.earlierCards.length > 0)
    lines.push(`Cards of an earlier formula (their difference is history): ${answer.earlierCards.join(', ')}`);
  return [...lines, ...againstText(answer)].join('\n');
}

function greyText({ undercoat }: FormulaAnswer): string[] {
  if (undercoat && 'pours' in undercoat) return undercoatText(undercoat, null);
  return [undercoat ? `Undercoat first: ${sheetWords(undercoat)}` : 'Undercoat: the formula names none.'];
}

function pourText(answer: FormulaAnswer): string[] {
  const rows = answer.toners.map((toner) => [
    toner.code,
    toner.parts,
    `${toner.share.toFixed(2)} %`,
    toner.grams ?? '',
    toner.cumulative ?? '',
  ]);
  return [
    `Colour, ${answer.target ? `${answer.target} g as ${answer.as}` : 'no target weight'}:`,
    table([['toner', 'parts', 'share', 'pour g', 'running g'], ...rows], ['left', 'right', 'right', 'right', 'right']),
    `  total ${answer.total} parts`,
  ];
}

function differenceText(answer: FormulaAnswer): string[] {
  if (!answer.standard) return ['No standard is named, so there is nothing to compare with.'];
  if (!answer.sprayout) return [`Not sprayed yet: no card shows the formula as it is now against ${answer.standard}.`];
  const rows = byLight(answer);
  const title = `Card ${answer.sprayout} against ${answer.standard}`;
  if (rows.length === 0) return [`${title}: they have no angle and light in common.`, ...notes(answer.notes)];
  return [
    `${title}, measured:`,
    ...verdictText(answer.differs, answer.verdict),
    ...notes(answer.notes),
    table([['light', 'angle', 'dE00'], ...rows], ['left', 'left', 'right']),
  ];
}

type Difference = FormulaAnswer['difference'][number];
const lightOf = ({ illuminant, observer }: Pick<Difference, 'illuminant' | 'observer'>) => `${illuminant}/${observer}`;

/** Light by light, the one of the verdict first; of each the worst angle first. */
function byLight({ difference, verdict }: FormulaAnswer): string[][] {
  const lights = new Set([...(verdict ? [lightOf(verdict)] : []), ...difference.map(lightOf)]);
  return [...lights].flatMap((light) =>
    difference
      .filter((one) => lightOf(one) === light)
      .map((one, index) => [index === 0 ? light : '', one.geometry, benchDifference(one.dE00)]),
  );
}
