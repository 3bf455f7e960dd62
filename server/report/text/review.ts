/** A review for a terminal: what each formula's change does to the paint, the gravest first. */
import type { BeforeAfter, FormulaReview } from '../../review/formula.ts';
import type { EntryReview, Review } from '../../review/review.ts';
import type { TonerShift } from '../../review/toners.ts';
import { notes, signed } from './figures.ts';
import { table } from './table.ts';

export function reviewText(review: Review): string {
  const lines = [`${review.after} against ${review.before}: ${sumOf(review)}`, ...notes(review.notes)];
  for (const formula of review.formulas) lines.push('', ...formulaText(formula));
  if (review.entries.length > 0) {
    lines.push('', 'Other entries that say something else:');
    lines.push(table(review.entries.map((one) => [one.entry, entryText(one), `${one.place.file}:${one.place.line}`])));
  }
  return lines.join('\n');
}

/** `3 formulas: 1 visible, 2 no change in colour; 4 other entries`. */
export function sumOf({ formulas, entries, untouched }: Review): string {
  if (formulas.length === 0 && entries.length === 0 && untouched === 0)
    return 'nothing that the book says has changed.';
  const counts = new Map<string, number>();
  for (const { grade } of formulas) counts.set(grade, (counts.get(grade) ?? 0) + 1);
  const grades = [...counts].map(([grade, count]) => `${count} ${grade}`).join(', ');
  const parts = [`${plural(formulas.length, 'formula')}${grades ? ` (${grades})` : ''}`];
  if (entries.length > 0) parts.push(plural(entries.length, 'other entry', 'other entries'));
  if (untouched > 0) parts.push(`${plural(untouched, 'formula')} reached without effect`);
  return `${parts.join('; ')}.`;
}

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

export function entryText({ was, from, words }: EntryReview): string {
  if (was === 'renamed') return `renamed from ${from}${words.length > 0 ? `; changed: ${words.join(', ')}` : ''}`;
  return words.length > 0 ? `changed: ${words.join(', ')}` : was;
}

export function formulaText(one: FormulaReview): string[] {
  return [
    `${titleOf(one)}  (${one.place.file}:${one.place.line})`,
    `  ${one.sentence}`,
    ...one.callOuts.map(({ text }) => `  ! ${text}`),
    ...factsOf(one).map((fact) => `  ${fact}`),
    ...(tonersDiffer(one) ? [table([TONER_HEAD, ...one.toners.map(tonerRow)], TONER_ALIGN, '    ')] : []),
    ...anglesText(one),
  ];
}

export function titleOf({ id, name, was, from, because }: FormulaReview): string {
  const how = was === 'renamed' ? `, renamed from ${from}` : was === 'added' || was === 'removed' ? `, ${was}` : '';
  const why = because.filter((cause) => cause !== 'itself');
  return `${id} "${name}"${how}${why.length > 0 ? `, by ${why.join(', ')}` : ''}`;
}

export const tonersDiffer = ({ toners }: FormulaReview): boolean =>
  toners.some(({ before, after }) => JSON.stringify(before) !== JSON.stringify(after));

export const TONER_HEAD = ['toner', 'parts before', 'after', '% before', 'after', 'g before', 'after', 'share moves'];
export const TONER_ALIGN = ['left', 'right', 'right', 'right', 'right', 'right', 'right', 'right'] as const;

export function tonerRow({ coat, code, before, after, relative }: TonerShift): string[] {
  const moves = !before
    ? 'new'
    : !after
      ? 'taken out'
      : relative === null || relative === 0
        ? '='
        : `${signed(relative, 1)} %`;
  return [
    coat === 'top' ? code : `${code} (${coat})`,
    before?.parts ?? '–',
    after?.parts ?? '–',
    before ? before.share.toFixed(2) : '–',
    after ? after.share.toFixed(2) : '–',
    before?.grams ?? '–',
    after?.grams ?? '–',
    moves,
  ];
}

/** Everything that differs besides toners, a sentence each. */
export function factsOf(one: FormulaReview): string[] {
  const { againstStandard: off, cost, movedBy } = one;
  const facts = [
    told('Status', one.status, (text) => text),
    told(
      'Standard',
      off,
      ({ standard, card, worst, differs }) =>
        `card ${card} off ${standard} by ${worst.dE00.toFixed(1)} dE00 at ${worst.geometry} at worst (measured)${differs && differs !== 'no clear direction' ? `, ${differs}` : ''}`,
    ),
    told(
      'Metamerism',
      one.metamerism,
      ({ geometry, illuminant, dE00 }) => `${dE00.toFixed(1)} dE00 under ${illuminant} at ${geometry}`,
    ),
    told('Undercoat', one.undercoat, ({ id, grey, pours }) => `${id} grey ${grey}${pours ? ` (${pours})` : ''}`),
    told('Coats to hide', one.coats, (coats) => `${coats.toFixed(1)} (predicted)`),
    told(
      'Best grey',
      one.bestGrey,
      ({ munsellValue, coats }) =>
        `N${munsellValue.toFixed(1)}${coats === null ? '' : `, ${coats.toFixed(1)} coats`} (predicted)`,
    ),
    told('Target', one.target, (text) => text),
    told(
      'Toners cost',
      cost,
      ({ money, of, unpriced }) =>
        `${money.join(' + ')} for ${of}${unpriced.length > 0 ? ` without ${unpriced.join(', ')}` : ''}`,
    ),
    told('VOC', one.voc, vocText),
    ...one.expectations.map(
      ({ text, before, after }) => `Expectation "${text}": ${standing(before)} → ${standing(after)}`,
    ),
  ].filter((fact) => fact !== undefined);
  if (movedBy)
    facts.push(
      `Of the predicted shift the formula made ${movedBy.formula.toFixed(1)} dE00, the model ${movedBy.model.toFixed(1)}`,
    );
  if (one.batches.length > 0) facts.push(`Mixed from the earlier paint: ${one.batches.join(', ')}`);
  if (one.variants.length > 0) facts.push(`Derive from it: ${one.variants.join(', ')}`);
  return facts;
}

/** Never a clearance: the figure beside its limit. */
function vocText({ gramsPerLitre, as, limit, within, of }: NonNullable<FormulaReview['voc']['after']>): string {
  const held = limit === null ? '' : `, ${within ? 'within' : 'ABOVE'} ${limit} g/l of ${of}`;
  return `${gramsPerLitre.toFixed(0)} g/l ${as}${held}`;
}

const standing = (is: string | null): string => is ?? 'not stated';

function told<T>(what: string, { before, after }: BeforeAfter<T>, text: (value: T) => string): string | undefined {
  const [a, b] = [before === null ? 'none' : text(before), after === null ? 'none' : text(after)];
  return a === b ? undefined : `${what}: ${a} → ${b}`;
}

function anglesText({ shift }: FormulaReview): string[] {
  if (!shift || shift.angles[0]!.dE00 === 0) return [];
  const basis = shift.basis === 'measured' ? 'measured, card to card' : 'predicted';
  return [
    table(
      [
        ['angle', `dE00 (${basis})`, 'allowed', 'the new colour is'],
        ...shift.angles.map(({ geometry, dE00, tolerance, direction }) => [
          geometry,
          dE00.toFixed(1),
          tolerance.toFixed(1),
          direction,
        ]),
      ],
      ['left', 'right', 'right', 'left'],
      '    ',
    ),
  ];
}
