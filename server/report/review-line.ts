/** A review of a formula on one line: above the formula in the editor, and in the list of all that changed. */
import { parseGeometry, zoneOf } from '../colour/geometry.ts';
import type { FormulaReview } from '../review/formula.ts';
import { plusMinusText } from '../review/verdict.ts';

/** `visible: worst 1.4 ± 0.2 at 45as110, darker on the flop (predicted)`. */
export function gradeLine(one: FormulaReview): string {
  const moved = movedText(one);
  return moved ? `${one.grade}: ${moved}` : one.grade;
}

/** What is told above the formula; nothing where it was only reached by a change that leaves its colour and its standing alone. */
export function lineAbove(one: FormulaReview, before: string): string | undefined {
  if (one.was === 'reached' && !movedText(one) && !UNKNOWN.has(one.grade) && one.callOuts.length === 0)
    return undefined;
  return [colourLine(one, before), ...one.callOuts.map(({ what }) => what)].join(' · ');
}

/** Nobody knows what becomes of the colour. */
const UNKNOWN: ReadonlySet<string> = new Set(['cannot be read', 'cannot be mixed', 'needs a spray-out']);

function colourLine(one: FormulaReview, before: string): string {
  if (one.grade === 'cannot be read')
    return `cannot be read: ${one.unread.map(({ file, line }) => `${file}:${line}`).join(', ')}`;
  if (one.grade === 'cannot be mixed')
    return `cannot be mixed: ${one.missing.map(({ id }) => id).join(', ')} not in the book`;
  const moved = movedText(one);
  if (one.was === 'added')
    return `new since ${before}${one.grade === 'needs a spray-out' ? ': no card shows it yet' : ''}`;
  if (one.grade === 'needs a spray-out')
    return moved ? `needs a spray-out: colour moved, ${moved}` : 'needs a spray-out: no card shows it as it is now';
  if (moved) return `colour moved: ${moved}`;
  return one.was === 'renamed' ? `renamed from ${one.from}, no change in colour` : 'no change in colour';
}

/** Of the worst angle, since that is the one of which a card has to be made; the panel tells the others. */
function movedText({ shift }: FormulaReview): string {
  const worst = shift?.angles[0];
  if (!worst || worst.dE00 === 0) return '';
  const named = worst.direction !== '' && !worst.direction.startsWith('no clear direction');
  const where = worst.geometry.includes('as') ? ` on the ${zoneOf(parseGeometry(worst.geometry))}` : '';
  const words = named ? `, ${worst.direction}${where}` : '';
  return `worst ${worst.dE00.toFixed(1)}${plusMinusText(worst.plusMinus)} at ${worst.geometry}${words} (${shift!.basis})`;
}
