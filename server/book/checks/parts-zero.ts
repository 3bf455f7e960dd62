import type { Finding } from '../../../grammar/finding.ts';
import type { Line, Value } from '../../../grammar/tree.ts';
import { exact } from '../entries/written.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding, headOf } from './check.ts';

export const partsZero: Check = {
  pages: [
    {
      code: 'parts-zero',
      title: 'A toner of which there is nothing',
      text: 'A toner line with 0 parts, a pour of 0 g or a change of +0 pours nothing and changes nothing; as a rule a figure was left to be filled in. Write the parts, or take the line out. (Parts below zero are refused where they stand, see `number-signed`.)',
    },
    {
      code: 'formula-empty',
      title: 'A formula without toner lines',
      text: 'A formula needs at least one toner line with parts above zero before anything can be poured. A variant may not take everything away either.',
    },
    {
      code: 'coat-empty',
      title: 'A coat of nothing',
      text: 'The toner lines of a coat stand below its `coat` line, up to the next one. A coat line with none below it is no coat: nothing is poured for it and how often it is sprayed is not heeded. As a rule it was written below its toners.',
    },
  ],
  in: ['formula', 'variant', 'letdown', 'undercoat', 'sprayout', 'drawdown', 'batch'],
  acrossFiles: true,
  *find(book, cell) {
    const { entry } = cell;
    for (const line of entry.lines) yield* zeros(line);
    if (entry.kind !== 'formula' && entry.kind !== 'variant') return;
    if (entry.kind === 'formula') yield* emptyCoats(entry.lines);
    const recipe = recipeIn(book, cell);
    if (recipe.total.compare(0) > 0 || recipe.slips.some((slip) => slip.kind === 'parent missing')) return;
    if (entry.kind === 'variant' && !recipe.lineage.includes(recipe.id.slice(0, recipe.id.lastIndexOf('/')))) return;
    yield finding(
      'formula-empty',
      'error',
      headOf(entry),
      entry.kind === 'formula' ? 'This formula has no parts to pour.' : 'Nothing is left to pour in this variant.',
      'Write its toner lines, for example: toner GRN-2 41.20',
    );
  },
};

/** Toner lines that are not typed to their end count: they have findings of their own. */
function* emptyCoats(lines: readonly Line[]): Generator<Finding> {
  const marks = lines.filter(({ word }) => word === 'coat' || word === 'toner');
  for (const [at, line] of marks.entries()) {
    if (line.word !== 'coat' || marks[at + 1]?.word === 'toner') continue;
    const last = line.values.at(-1) ?? line.wordSpan;
    yield finding(
      'coat-empty',
      'warning',
      { from: line.wordSpan.from, to: last.to },
      'No toner stands below this line, so it is no coat.',
      'Put the line above the toners of its coat, or take it out.',
    );
  }
}

/** `toner X = 0` of a variant drops the toner, which is `without`; that means something and is let pass. */
const AMOUNTS = new Set(['parts', 'delta', 'grams']);

function* zeros(line: Line): Generator<Finding> {
  if (line.word === 'toner' && line.row?.in.includes('variant') && line.values.some((one) => one.place === 'parts'))
    return;
  for (const [index, value] of line.values.entries()) {
    if (!AMOUNTS.has(value.place) || exact(value)?.compare(0) !== 0) continue;
    const toner = before(line, index)?.text ?? 'this toner';
    yield finding(
      'parts-zero',
      'warning',
      value,
      value.place === 'delta' ? `This changes nothing in ${toner}.` : `This line holds nothing of ${toner}.`,
      `Write how much ${toner} it is, or take the line out.`,
      line.values.filter((one) => AMOUNTS.has(one.place)).length === 1
        ? { fixes: [{ title: 'Take this line out', edits: [{ from: line.from, to: line.to, text: '' }] }] }
        : {},
    );
  }
}

const before = (line: Line, index: number): Value | undefined =>
  line.values.slice(0, index).findLast((value) => value.place === 'toner');
