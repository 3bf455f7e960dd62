/** The card of an entry as Markdown, for hover: undercoat grey first, then the pours, then how near the card comes, a swatch last. */

import { plain } from '../../answers/mix.ts';
import { benchDifference } from '../../answers/number.ts';
import { type FormulaAnswer, type ReadingAnswer, show } from '../../answers/show.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from '../../answers/undercoat-sheet.ts';
import type { Book } from '../../book/book.ts';
import type { EntryCell } from '../../book/cell.ts';
import { coloursIn, labOf } from '../../book/colours.ts';
import { shopOf, tonerIn, undercoatIn } from '../../book/known.ts';
import { directionPhrase } from '../../colour/direction.ts';
import { type Align, table } from '../text/table.ts';
import { learnedLines, predictedPart } from './predicted.ts';
import { swatch } from './swatch.ts';

export function cardOf(book: Book, cell: EntryCell): string {
  switch (cell.entry.kind) {
    case 'formula':
    case 'variant':
      return formulaCard(book, show(book, cell) as FormulaAnswer);
    case 'reading':
    case 'sprayout':
    case 'drawdown':
      return readingCard(book, cell, show(book, cell) as ReadingAnswer);
    case 'toner':
    case 'letdown':
      return tonerCard(book, cell);
    case 'undercoat':
      return undercoatCard(book, cell);
    default:
      return plainCard(cell);
  }
}

/** Columns in the editor's own fixed-width letters: a Markdown table in a hover is too narrow to read figures in. */
const columns = (rows: readonly (readonly string[])[], align: readonly Align[] = []): string =>
  `\`\`\`text\n${table(rows, align, '')}\n\`\`\``;

/** Text of the book shown as text, whatever Markdown it holds. */
export const escapeMd = (text: string): string => text.replace(/[\\`*_{}[\]()#+!|<>&~-]/g, '\\$&');

function formulaCard(book: Book, answer: FormulaAnswer): string {
  const from = answer.lineage.length > 1 ? `, from ${answer.lineage.slice(1).join(', ')}` : '';
  const parts = [
    `**${answer.id}** ${escapeMd(answer.name)}${from}${answer.status ? ` · ${answer.status}` : ''}`,
    undercoatPart(answer),
    ...coatParts(answer),
    answer.target
      ? `Total ${answer.total} parts; ${answer.target} g as ${answer.as}.`
      : `Total ${answer.total} parts; no target weight.`,
    differencePart(book, answer),
    predictedPart(book, answer),
  ];
  const measured = answer.sprayout ? book.find('sprayout', answer.sprayout) : undefined;
  const picture = measured && swatchOf(book, measured);
  if (picture) parts.push(picture);
  return parts.join('\n\n');
}

/** A table for each coat, since each is a cup of its own. */
function coatParts(answer: FormulaAnswer): string[] {
  const names = [...new Set(answer.toners.map((toner) => toner.coat))];
  return names.flatMap((name) => {
    const rows = answer.toners
      .filter((toner) => toner.coat === name)
      .map(({ code, parts, share, grams, cumulative }) => [
        code,
        parts,
        `${share.toFixed(2)} %`,
        grams ?? '–',
        cumulative ?? '–',
      ]);
    const figures = columns(
      [['toner', 'parts', 'share', 'pour g', 'running g'], ...rows],
      ['left', 'right', 'right', 'right', 'right'],
    );
    return names.length > 1 ? [`${name[0]!.toUpperCase()}${name.slice(1)} coat:`, figures] : [figures];
  });
}

function undercoatPart(answer: FormulaAnswer): string {
  const { undercoat } = answer;
  if (!undercoat) return 'Undercoat: none named.';
  if (!('pours' in undercoat)) return `Undercoat first: ${sheetWords(undercoat)}`;
  return undercoatsInOrder(undercoat)
    .map((one, n) => oneUndercoat(one, n === 0 ? 'first' : 'next'))
    .join('  \n');
}

function oneUndercoat(undercoat: UndercoatSheet, when: 'first' | 'next'): string {
  const { lightness } = undercoat;
  if (undercoat.problem) return `Undercoat ${when}: ${sheetWords(undercoat)}. ${undercoat.problem}`;
  const pours = undercoat.pours.map((pour) => `${pour.toner} ${pour.grams} g`).join(', ');
  const basis = undercoat.basis === 'measured' ? 'a measured step' : 'computed between steps';
  const figure = lightness === null ? '' : ` (L* ${lightness.toFixed(1)}, ${basis})`;
  return `Undercoat ${when}: **${sheetWords(undercoat)}**${figure}: ${pours}`;
}

export function differencePart(book: Book, answer: FormulaAnswer): string {
  if (!answer.standard) return 'No standard is named.';
  if (!answer.sprayout) return `Not sprayed yet: no card shows it as it is now against ${answer.standard}.`;
  const main = shopOf(book).viewings[0]!;
  const shown = answer.difference.filter((one) => one.illuminant === main.illuminant && one.observer === main.observer);
  const [worst, ...others] = shown;
  if (!worst) return `Card ${answer.sprayout} has no angle in common with ${answer.standard}.`;
  const words = directionPhrase(worst.standard, worst.sample);
  const rest = others.map((one) => `${one.geometry} ${benchDifference(one.dE00)}`).join(', ');
  return `Card ${answer.sprayout} against ${answer.standard}: ${words}; worst **${benchDifference(worst.dE00)} dE00** at ${worst.geometry}${rest ? `; ${rest}` : ''} (measured, ${main.illuminant}/${main.observer})`;
}

function readingCard(book: Book, cell: EntryCell, answer: ReadingAnswer): string {
  const main = shopOf(book).viewings[0]!;
  const rows = answer.colours
    .filter((colour) => colour.illuminant === main.illuminant && colour.observer === main.observer)
    .map((colour) => [
      colour.geometry,
      ...colour.lab.map((value) => value.toFixed(2)),
      colour.from === 'spectrum' ? 'spectrum' : 'Lab',
    ]);
  const { repeat } = answer;
  const repeated = repeat.mcdm
    ? `${repeat.takes} takes, ${repeat.mcdm.dE00.toFixed(2)} dE00 from their mean on average (at ${repeat.geometry})${repeat.outlier ? `; take ${repeat.outlier.take} at ${repeat.outlier.geometry} is out of line` : ''}.`
    : 'One take: how well it repeats is not known.';
  const title = `**${answer.id}** ${escapeMd(answer.name)}${answer.taken ? ` · ${answer.taken}` : ''}${answer.instrument ? ` · ${answer.instrument}` : ''}`;
  return [
    title,
    columns([['angle', 'L*', 'a*', 'b*', 'from'], ...rows], ['left', 'right', 'right', 'right']),
    repeated,
    swatchOf(book, cell) ?? '',
  ]
    .filter(Boolean)
    .join('\n\n');
}

function swatchOf(book: Book, cell: EntryCell): string | undefined {
  const viewing = shopOf(book).viewings[0]!;
  const colours = coloursIn(book, cell);
  const angle = colours.angles.find((one) => one.geometry === '45as45') ?? colours.angles[0];
  const lab = angle && labOf(angle, viewing, colours.bandpass);
  return lab && swatch(lab, viewing, angle.geometry);
}

function tonerCard(book: Book, cell: EntryCell): string {
  const toner = tonerIn(book, cell);
  const facts = [
    toner.system && `system ${toner.system}`,
    toner.kind,
    toner.letdownOf && `a let-down of ${toner.letdownOf}`,
    toner.density && `${plain(toner.density)} g/ml`,
    toner.solids && `solids ${plain(toner.solids.share.mul(100))} % by ${toner.solids.by}`,
  ].filter(Boolean);
  const lots = toner.lots.map(
    (lot) => `lot ${lot.lot}${lot.strength ? `, strength ${plain(lot.strength.mul(100))} %` : ''}`,
  );
  const users = [...book.usersOf(`toner:${toner.code}`)].filter(
    (user) => user.entry.kind === 'formula' || user.entry.kind === 'variant',
  ).length;
  return [
    `**${toner.code}** ${escapeMd(toner.name)}`,
    facts.join(' · '),
    lots.join('; '),
    `used in ${users} formulas and variants`,
    ...learnedLines(book, toner),
  ]
    .filter(Boolean)
    .join('\n\n');
}

function undercoatCard(book: Book, cell: EntryCell): string {
  const undercoat = undercoatIn(book, cell);
  const rows = undercoat.steps.map((step) => [
    step.grey.text,
    step.toners.map((toner) => `${toner.code} ${plain(toner.parts)}`).join(', '),
  ]);
  return [`**${undercoat.code}** ${escapeMd(undercoat.name)}`, columns([['grey', 'parts'], ...rows])].join('\n\n');
}

function plainCard(cell: EntryCell): string {
  const name = cell.entry.head?.values.find((value) => value.place === 'name')?.text ?? '';
  const id = cell.entry.head?.values.find((value) => value.place === 'id')?.text ?? '';
  return `**${cell.entry.kind ?? ''} ${escapeMd(id)}** ${escapeMd(name)}`;
}
