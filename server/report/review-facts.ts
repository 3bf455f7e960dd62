/** What a review tells of one formula, as words and tables that every form of it shows: text, Markdown, HTML. */
import { sheetWords } from '../answers/undercoat-sheet.ts';
import type { BeforeAfter, FormulaReview } from '../review/formula.ts';
import { type EntryReview, ORDER, type Review } from '../review/review.ts';
import type { TonerShift } from '../review/toners.ts';
import type { UnreadLine } from '../review/unread.ts';
import { plusMinusText } from '../review/verdict.ts';
import { signed } from './text/figures.ts';

/** Has a reviewer to look at it, or is it enough to know of it? */
export const needsLook = ({ grade, callOuts }: FormulaReview): boolean =>
  grade !== 'no change in colour' || callOuts.length > 0;

/** `3 formulas: 1 visible, 2 no change in colour. 4 other entries.` */
export function sumOf({ formulas, entries, untouched, unread }: Review): string {
  if (formulas.length === 0 && entries.length === 0 && untouched === 0 && unread.length === 0)
    return 'nothing that the book says has changed.';
  const grades = ORDER.flatMap((grade) => {
    const count = formulas.filter((one) => one.grade === grade).length;
    return count > 0 ? [`${count} ${grade}`] : [];
  });
  const parts = [`${plural(formulas.length, 'formula')}${grades.length > 0 ? `: ${grades.join(', ')}` : ''}`];
  if (entries.length > 0) parts.push(plural(entries.length, 'other entry', 'other entries'));
  if (unread.length > 0) parts.push(`${plural(unread.length, 'line')} that cannot be read`);
  if (untouched > 0) parts.push(`${plural(untouched, 'formula')} reached without effect`);
  return `${parts.join('; ')}.`;
}

/** What stands above everything else where lines cannot be read; empty where all can. */
export const unreadTitle = ({ unread }: Review): string =>
  unread.length === 0
    ? ''
    : `${plural(unread.length, 'line')} cannot be read, and what ${unread.length === 1 ? 'it says' : 'they say'} is in no figure here: see pourbook check`;

/** `a.pour:12 (formula SAM-31): "tonner BLK-1 2". There is no word 'tonner'.` */
export const unreadText = ({ file, line, entry, text, problem }: UnreadLine): string =>
  `${file}:${line}${entry === null ? '' : ` (${entry})`}: "${text.length > 60 ? `${text.slice(0, 60)}…` : text}". ${problem}`;

/** More than these nobody reads one by one. */
const MOST_UNREAD = 20;

export const unreadTexts = ({ unread }: Review): string[] => [
  ...unread.slice(0, MOST_UNREAD).map(unreadText),
  ...(unread.length > MOST_UNREAD ? [leftOut(unread.length - MOST_UNREAD)] : []),
];

const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

export const leftOut = (count: number): string => `and ${plural(count, 'more', 'more')}`;

/** Commits as they are told apart on paper. */
export const shortHash = (hash: string): string => hash.slice(0, 10);

/** `HEAD (0123456789)`. */
export const versionText = (label: string, commit: string | null): string =>
  commit === null || commit.startsWith(label) ? label : `${label} (${shortHash(commit)})`;

export function entryText({ was, from, words }: EntryReview): string {
  if (was === 'renamed') return `renamed from ${from}${words.length > 0 ? `; changed: ${words.join(', ')}` : ''}`;
  return words.length > 0 ? `changed: ${words.join(', ')}` : was;
}

export const titleOf = ({ id, name }: FormulaReview): string => `${id} "${name}"`;

/** What happened to it and through what it was reached: `changed: toner; through toner BLK-1 (price)`. */
export function reasonOf(one: FormulaReview, entries: Review['entries']): string {
  const words = one.words.map((word) => (HEADS.has(word) ? 'its name' : word));
  const through = one.because.filter((cause) => cause !== 'itself').map((cause) => causeText(cause, entries));
  return [
    ...(one.was === 'renamed' ? [`renamed from ${one.from}`] : []),
    ...(words.length > 0 ? [`changed: ${words.join(', ')}`] : []),
    ...(through.length > 0 ? [`through ${through.join(', ')}`] : []),
  ].join('; ');
}

/** A formula whose colour stays: its name, why it is told, and what its sentence adds. */
export function quietLine(one: FormulaReview, entries: Review['entries']): string {
  const said = one.sentence.replace(/^No change in colour(?: is predicted)?[:.] ?/, '').replace(/\.$/, '');
  const told = [reasonOf(one, entries), said === 'the same toners in the same ratios' ? '' : said].filter(Boolean);
  return [titleOf(one), told.join('; ')].filter(Boolean).join(': ');
}

const HEADS: ReadonlySet<string> = new Set(['formula', 'variant']);

function causeText(cause: string, entries: Review['entries']): string {
  const entry = entries.find((one) => one.entry === cause);
  const name = cause === 'book' ? "the shop's settings" : cause;
  const said = entry ? [...(entry.was === 'renamed' ? [`renamed from ${entry.from}`] : []), ...entry.words] : [];
  return said.length > 0 ? `${name} (${said.join(', ')})` : name;
}

/** A figure before and after; null where the version has none of it. */
export interface Fact {
  readonly what: string;
  readonly before: string | null;
  readonly after: string;
}

/** What is known of the paint in both versions: everything of a formula to look at, of others what differs. */
export function factsOf(one: FormulaReview): Fact[] {
  // Of a formula without its parent nothing is known.
  if (one.was === 'removed' || one.missing.some(({ what }) => what === 'parent')) return [];
  const all = needsLook(one);
  const fact = <T>(what: string, of: BeforeAfter<T>, text: (value: T) => string, none = 'not known'): Fact[] => {
    if (of.before === null && of.after === null) return [];
    const [before, after] = [of.before, of.after].map((value) => (value === null ? none : text(value)));
    return all || before !== after ? [{ what, before: one.was === 'added' ? null : before!, after: after! }] : [];
  };
  return [
    ...fact('Status', one.status, (text) => text, 'none stated'),
    ...standardFact(one, all),
    ...fact(
      'Metamerism',
      one.metamerism,
      ({ geometry, illuminant, dE00 }) => `${dE00.toFixed(1)} dE00 under ${illuminant} at ${geometry}`,
    ),
    ...undercoatFact(one, all),
    ...fact('Coats to hide', one.coats, (coats) => `${coats.toFixed(1)} (predicted)`),
    ...fact('Best grey', one.bestGrey, greyText),
    ...fact('Target weight', one.target, (text) => text, 'none'),
    ...fact('Toners cost', one.cost, costText),
    ...fact('VOC', one.voc, vocText),
  ];
}

/** Facts that differ, or are told for the first time. */
export const differing = (facts: readonly Fact[]): Fact[] => facts.filter(({ before, after }) => before !== after);

/** All that stayed in one sentence: `As before: status trial; VOC 414 g/l`. Empty where nothing did. */
export function stayed(facts: readonly Fact[]): string {
  const same = facts.filter(({ before, after }) => before === after);
  const word = (what: string) => (/^[A-Z][a-z]/.test(what) ? what[0]!.toLowerCase() + what.slice(1) : what);
  return same.length === 0 ? '' : `As before: ${same.map(({ what, after }) => `${word(what)} ${after}`).join('; ')}.`;
}

function standardFact(one: FormulaReview, all: boolean): Fact[] {
  const { againstStandard: off, expectedOff: expected } = one;
  if (!off.before && !off.after && !expected.before && !expected.after) return [];
  const side = (version: 'before' | 'after') =>
    version === 'after' && one.light?.cannot && !off.after && !expected.after
      ? `cannot be compared under ${one.light.after}: ${one.light.cannot}`
      : `${standardText(off[version], expected[version], one.standard[version])}${one.light && (off[version] ?? expected[version]) ? ` under ${one.light[version]}` : ''}`;
  const [before, after] = [side('before'), side('after')];
  // The name of the card alone is no difference.
  const same = offText(off.before ?? expected.before) === offText(off.after ?? expected.after);
  if (!all && same) return [];
  return [{ what: 'Off the standard', before: one.was === 'added' ? null : before, after }];
}

type Off = FormulaReview['againstStandard']['after'];
type Expected = FormulaReview['expectedOff']['after'];

function standardText(off: Off, expected: Expected, standard: string | null): string {
  if (off) return `${offText(off)} (card ${off.card})`;
  if (!expected)
    return standard === null ? 'it names no standard' : `${standard}: not known, no card and no prediction of it`;
  const { from, plusMinus } = expected;
  return `${offText(expected)} (no card; ${from === null ? 'predicted' : `expected of card ${from} and the predicted shift`}${plusMinusText(plusMinus)})`;
}

function offText(off: Off | Expected): string {
  if (!off) return '';
  const { standard, worst, differs } = off;
  const words = differs && !differs.startsWith('no clear direction') ? `, ${differs}` : '';
  return `${standard} by ${worst.dE00.toFixed(1)} of ${worst.tolerance.toFixed(1)} dE00 at ${worst.geometry} at worst${words}`;
}

/** For an overview: `0.6 → 1.3 of 1.0`. */
export function standardMoves({ againstStandard: off, expectedOff: expected, was }: FormulaReview): string {
  const [before, after] = [off.before ?? expected.before, off.after ?? expected.after];
  if (was === 'removed' || (!before && !after)) return '';
  if (!after) return `${before!.worst.dE00.toFixed(1)} → not known`;
  const basis = off.after ? 'measured' : 'expected';
  const from = before && was !== 'added' ? `${before.worst.dE00.toFixed(1)} → ` : '';
  return `${from}${after.worst.dE00.toFixed(1)} of ${after.worst.tolerance.toFixed(1)}, ${basis}`;
}

/** What to pour for it is told where it is new or another. */
function undercoatFact({ undercoat: { before, after }, was }: FormulaReview, all: boolean): Fact[] {
  if (!before && !after) return [];
  const same =
    before?.id === after?.id &&
    before?.coloured === after?.coloured &&
    before?.grey === after?.grey &&
    before?.pours === after?.pours;
  if (same && !all) return [];
  const text = (is: typeof before) =>
    is ? `${sheetWords({ ...is, undercoat: is.id })}${!same && is.pours ? ` (${is.pours})` : ''}` : 'none named';
  return [{ what: 'Undercoat', before: was === 'added' ? null : text(before), after: text(after) }];
}

const greyText = ({ munsellValue, coats }: NonNullable<FormulaReview['bestGrey']['after']>): string =>
  `N${munsellValue.toFixed(1)}${coats === null ? '' : `, ${coats.toFixed(1)} coats`} (predicted)`;

const costText = ({ money, of, unpriced }: NonNullable<FormulaReview['cost']['after']>): string =>
  `${money.join(' + ')} for ${of}${unpriced.length > 0 ? ` without ${unpriced.join(', ')}` : ''}`;

/** Never a clearance: the figure beside its limit. */
function vocText({ gramsPerLitre, as, limit, within, of }: NonNullable<FormulaReview['voc']['after']>): string {
  const held =
    limit === null ? '' : within ? `, limit ${limit} g/l (${of})` : `, ABOVE the limit of ${limit} g/l (${of})`;
  return `${gramsPerLitre.toFixed(0)} g/l ${as}${held}`;
}

/** Everything else that is to be told of it, a sentence each. */
export function remarksOf(one: FormulaReview): string[] {
  const { expectations, movedBy, shift, batches, variants, light } = one;
  const remarks = expectations.map(
    ({ text, was, before, after, told }) =>
      `Expectation ${was === null ? '' : `"${was}" → `}"${text}": ${standing(before)} → ${standing(after)}${after === null ? '' : ` (${told})`}.`,
  );
  if (light?.cannot && (one.againstStandard.after || one.expectedOff.after))
    remarks.push(`Not compared at every angle: ${light.cannot}.`);
  if (movedBy)
    remarks.push(
      `Of the predicted shift the formula made ${movedBy.formula.toFixed(1)}${movedBy.formula === 0 ? '' : plusMinusText(movedBy.formulaPlusMinus)} dE00, the model ${movedBy.model.toFixed(1)}: optics.lock is another.`,
    );
  if (shift?.basis === 'predicted' && shift.angles[0]!.dE00 > 0 && shift.angles[0]!.plusMinus === null)
    remarks.push(
      `The ± of this shift is not known; each of the two colours for itself is predicted to ± ${shift.plusMinus!.toFixed(1)} dE00.`,
    );
  if (batches.length > 0) remarks.push(`Mixed from the earlier paint: ${batches.join(', ')}.`);
  if (variants.length > 0) remarks.push(`Derive from it: ${variants.join(', ')}.`);
  return remarks;
}

const standing = (is: string | null): string => is ?? 'not stated';

/** A table of figures that each form sets in its own way. */
export interface Figures {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Which rows are to be seen first. */
  readonly marked: readonly boolean[];
  readonly right: readonly boolean[];
}

export const tonersDiffer = ({ toners }: FormulaReview): boolean =>
  toners.some(({ before, after }) => JSON.stringify(before) !== JSON.stringify(after));

/** The toner lines in parts, share and grams at the target weight; of a formula that came or went one side only. */
export function tonerFigures(one: FormulaReview): Figures {
  const both = one.was !== 'added' && one.was !== 'removed';
  const share = one.toners.some(({ coat }) => coat !== 'top') ? '% of its coat' : '%';
  return {
    head: both
      ? ['toner', 'parts before', 'after', `${share} before`, 'after', 'g before', 'after', 'share moves']
      : ['toner', 'parts', share, 'g'],
    rows: one.toners.map(both ? tonerRow : (toner) => [tonerName(toner), ...sideOf(toner.after ?? toner.before)]),
    marked: one.toners.map(({ before, after }) => both && before?.parts !== after?.parts),
    right: [false, true, true, true, true, true, true, true],
  };
}

const tonerName = ({ coat, code }: TonerShift): string => (coat === 'top' ? code : `${code} (${coat})`);

const sideOf = (side: TonerShift['after']): [string, string, string] =>
  side ? [side.parts, side.share.toFixed(2), side.grams ?? '–'] : ['–', '–', '–'];

function tonerRow(toner: TonerShift): string[] {
  const { before, after, relative } = toner;
  const [a, b] = [sideOf(before), sideOf(after)];
  const moves = !before
    ? 'new'
    : !after
      ? 'taken out'
      : relative === null || Math.abs(relative) < 0.05
        ? '='
        : `${signed(relative, 1)} %`;
  return [tonerName(toner), a[0], b[0], a[1], b[1], a[2], b[2], moves];
}

/** The shift at each angle, the worst against its tolerance first; nothing where there is none. */
export function angleFigures({ shift }: FormulaReview): Figures | null {
  if (!shift || shift.angles[0]!.dE00 === 0) return null;
  const told = shift.angles.some(({ plusMinus }) => plusMinus !== null);
  const foreseen = shift.angles.some(({ predicted }) => predicted !== null);
  return {
    head: ['angle', 'dE00', ...(told ? ['±'] : []), ...(foreseen ? ['predicted'] : []), 'allowed', 'the new colour is'],
    rows: shift.angles.map(({ geometry, dE00, plusMinus, predicted, tolerance, direction }) => [
      geometry,
      dE00.toFixed(1),
      ...(told ? [plusMinusText(plusMinus).replace(' ± ', '')] : []),
      ...(foreseen ? [predicted === null ? '–' : predicted.toFixed(1)] : []),
      tolerance.toFixed(1),
      direction,
    ]),
    marked: shift.angles.map(({ dE00, tolerance }) => dE00 > tolerance),
    right: [false, true, ...(told ? [true] : []), ...(foreseen ? [true] : []), true, false],
  };
}

export const tonersCaption = ({ unread }: FormulaReview): string =>
  `Toners${unread.length > 0 ? ' as far as the lines can be read' : ''}`;

export const shiftCaption = ({ shift, unread }: FormulaReview): string =>
  `Shift, ${shift?.basis === 'measured' ? 'measured from card to card' : 'predicted'}${unread.length > 0 ? ' as far as the lines can be read' : ''}`;

/** The worst angle in a word, for an overview. */
export function worstText({ shift }: FormulaReview): string {
  const worst = shift?.angles[0];
  if (!worst || worst.dE00 === 0) return '';
  return `${worst.dE00.toFixed(1)}${plusMinusText(worst.plusMinus)} of ${worst.tolerance.toFixed(1)} dE00 at ${worst.geometry}, ${shift!.basis}`;
}
