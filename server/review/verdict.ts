/** A sentence per formula: what the change does to its colour, by the tolerances of the new version. */
import { rounded } from '../answers/number.ts';
import { sameRatios } from '../book/recipe.ts';
import type { ExpectedOff } from './expected-off.ts';
import { goneText, type Missing, unmixable } from './missing.ts';
import type { Shift } from './shift.ts';
import type { FormulaState } from './state.ts';
import { samePourOrder, scaledBy } from './toners.ts';
import type { UndercoatMixed } from './undercoat.ts';
import type { UnreadLine } from './unread.ts';

export const GRADES = [
  'no change in colour',
  'within tolerance',
  'visible',
  'needs a spray-out',
  'cannot be mixed',
  'cannot be read',
] as const;

export type Grade = (typeof GRADES)[number] | 'new' | 'gone';

export interface Judged {
  readonly before: FormulaState | null;
  readonly after: FormulaState | null;
  /** The same toners in the same ratios. */
  readonly alike: boolean;
  readonly shift: Shift | null;
  /** A toner that it is mixed of colours otherwise now. */
  readonly moved: boolean;
  /** The paint is the same, and only what is predicted of it moved, since `optics.lock` is another. */
  readonly modelOnly: boolean;
  /** How far the new paint is expected to be off its standard, where no card shows it. */
  readonly expected: ExpectedOff | null;
  /** Where its undercoat is the same grey by name and another mixture. */
  readonly mixed: UndercoatMixed | null;
  /** Lines that it hangs on and that cannot be read. */
  readonly unread: readonly UnreadLine[];
}

export function gradeOf(judged: Judged): Grade {
  return judged.after && judged.unread.length > 0 ? 'cannot be read' : gradeAsRead(judged);
}

/** By the lines that can be read. */
function gradeAsRead({ mixed, before, after, alike, shift, moved, modelOnly }: Judged): Grade {
  if (!after) return 'gone';
  if (unmixable(after.missing).length > 0) return 'cannot be mixed';
  if (!before) return after.card ? 'new' : 'needs a spray-out';
  if (alike && mixed && anotherGrey(mixed)) return 'needs a spray-out';
  if (alike && !otherUndercoat(before, after) && (!moved || !shift || modelOnly)) return 'no change in colour';
  if (!shift) return 'needs a spray-out';
  if (shift.angles[0]!.dE00 === 0) return 'no change in colour';
  if (shift.doubtful) return 'needs a spray-out';
  return shift.within ? 'within tolerance' : 'visible';
}

/** Beyond the tolerance, and surely so as far as the ± is known. */
const anotherGrey = ({ shift }: UndercoatMixed): boolean => shift !== null && !shift.within && shift.sure !== false;

/** Another grey below changes what is seen until the film hides it. */
function otherUndercoat({ undercoat: was }: FormulaState, { undercoat: is }: FormulaState): boolean {
  if (was?.id !== is?.id || was?.grey !== is?.grey || was?.coloured !== is?.coloured) return true;
  return is?.coloured === true && !sameRatios(was!.parts, is.parts);
}

export function sentenceOf(grade: Grade, judged: Judged): string {
  const { after, unread } = judged;
  if (unread.length === 0) return sentence(grade, judged);
  const places = unread.map(({ file, line }) => `${file}:${line}`).join(', ');
  if (!after) return `Taken out of the book, or hidden by a line that cannot be read (${places}).`;
  const of = [...new Set(unread.map(({ entry }) => entry))].filter((entry) => entry?.split(' ')[1] !== after.recipe.id);
  const lines = `${unread.length === 1 ? '1 line' : `${unread.length} lines`}${of.length > 0 ? ` that it hangs on (${of.join(', ')})` : ''}`;
  const read = sentence(gradeAsRead(judged), judged);
  return `Not to be signed from: ${lines} cannot be read (${places}), see pourbook check. As far as it can be read: ${read[0]!.toLowerCase()}${read.slice(1)}`;
}

function sentence(grade: Grade, judged: Judged): string {
  const { before, after, shift } = judged;
  switch (grade) {
    case 'cannot be read':
    case 'cannot be mixed':
      return `Cannot be mixed, and nothing can be predicted of it: ${unmixable(after!.missing).map(gone(before)).join('; ')}.`;
    case 'gone':
      return 'Taken out of the book.';
    case 'new':
      return `New: ${againstStandard(after!)}`;
    case 'no change in colour':
      return unchanged(judged);
    case 'within tolerance':
      return `Within tolerance: ${told(shift!)}.${beyond(judged)}`;
    case 'visible':
      return `Visible: ${told(shift!)}.${beyond(judged)}`;
    case 'needs a spray-out':
      return before ? unknown(judged) : 'New, and needs a spray-out: no card shows it yet.';
  }
}

const gone =
  (before: FormulaState | null) =>
  (one: Missing): string =>
    `${one.what === 'parent' ? `${one.id}, from which it derives,` : `toner ${one.id}, which is poured for it,`} ${goneText(one, before?.missing)}`;

/** A small step can lead beyond what is allowed against the standard. */
function beyond({ expected }: Judged): string {
  // By less than a figure at the bench tells it is not beyond.
  if (!expected || rounded(expected.worst.dE00, 1) <= expected.worst.tolerance) return '';
  const { standard, worst } = expected;
  return ` It is then expected to be off ${standard} by ${worst.dE00.toFixed(1)} at ${worst.geometry}, beyond the ${worst.tolerance.toFixed(1)} allowed: spray it out.`;
}

function unknown({ after, alike, mixed, shift }: Judged): string {
  if (alike && mixed && anotherGrey(mixed))
    return `Needs a spray-out: the paint is the same, but its undercoat ${mixed.undercoat} is mixed otherwise, and by the optics it is another grey.`;
  const seen = 'Needs a spray-out: no card shows the paint as it is now';
  if (shift?.doubtful) return `${seen}, and its toners are too little known: ${told(shift)}.`;
  return `${seen}${after?.unpredicted ? `, and nothing can be predicted (${after.unpredicted})` : ''}.`;
}

function againstStandard({ off, standard, card, differs }: FormulaState): string {
  const [worst] = off;
  if (!worst)
    return standard ? `its card ${card?.id} has no angle in common with ${standard}.` : 'it names no standard.';
  return `its card ${card?.id} is off ${standard} by ${worst.dE00.toFixed(1)} dE00 at ${worst.geometry} at worst${differs === 'no clear direction' || differs === '' ? '' : `, ${differs}`}.`;
}

function unchanged({ before, after, alike, shift, moved, modelOnly, mixed }: Judged): string {
  if (!alike)
    return shift?.basis === 'measured'
      ? before!.card!.id === after!.card!.id
        ? `No change in colour by card ${after!.card!.id}, which says other parts than before.`
        : `No change in colour: cards ${before!.card!.id} and ${after!.card!.id} read the same.`
      : 'No change in colour is predicted.';
  const factor = scaledBy(before!, after!);
  const order = samePourOrder(before!, after!) ? '' : ' in another pour order';
  const below = mixed ? ` as long as ${mixed.undercoat} is the same grey` : '';
  if (factor) return `No change in colour${below}: the same paint${order}, all parts times ${factor}.`;
  if (order) return `No change in colour${below}: the same paint${order}.`;
  if (modelOnly)
    return `No change in colour: the same toners in the same ratios. What is predicted of it moved by ${shift!.angles[0]!.dE00.toFixed(1)} dE00 at ${shift!.angles[0]!.geometry}, since optics.lock is another.`;
  return shift && moved
    ? 'No change in colour is predicted.'
    : `No change in colour${below}: the same toners in the same ratios.`;
}

function told(shift: Shift): string {
  const { geometry, dE00, plusMinus, tolerance } = shift.angles[0]!;
  const basis = shift.basis === 'measured' ? 'from card to card' : 'predicted';
  const words = shift.differs === 'no clear direction' || shift.differs === '' ? '' : `; ${shift.differs}`;
  // A second decimal where one would hide on which side of the tolerance it is.
  const places = dE00 > tolerance && dE00.toFixed(1) === tolerance.toFixed(1) ? 2 : 1;
  const unsure = shift.sure === false ? ', too near to it for the ± to be sure' : '';
  return `the colour moves by ${dE00.toFixed(places)}${plusMinusText(plusMinus)} dE00 at ${geometry} at worst (${basis}), allowed ${tolerance.toFixed(1)}${unsure}${words}`;
}

/** Rounded up, so that no ± is told smaller than it is. */
export const plusMinusText = (plusMinus: number | null): string =>
  plusMinus === null ? '' : ` ± ${(Math.ceil(plusMinus * 10 - 1e-9) / 10).toFixed(1)}`;
