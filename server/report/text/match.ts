/** The ranked formulas for a reading: what differs in words first, then the worst angle, the grey, the figure last. */

import type { MatchAnswer } from '../../answers/match.ts';
import { benchDifference } from '../../answers/number.ts';
import { sheetWords } from '../../answers/undercoat-sheet.ts';
import { inWords } from './figures.ts';

export function matchText(answer: MatchAnswer): string {
  if (answer.candidates.length === 0)
    return `Reading ${answer.reading}: no formula of the book has a card or a standard at its angles.`;
  const lines = [
    `Reading ${answer.reading}, nearest first (CIEDE2000 under ${answer.illuminant}/${answer.observer}):`,
    '',
  ];
  answer.candidates.forEach((one, index) => {
    const basis = one.basis === 'sprayout' ? `by its card ${one.by}` : `by its standard ${one.by}, not sprayed yet`;
    lines.push(
      `${index + 1}. ${one.formula} "${one.name}"${one.status && one.status !== 'approved' ? ` (${one.status})` : ''}`,
    );
    lines.push(`   ${inWords(one.differs)}`);
    lines.push(
      `   worst ${benchDifference(one.worst.dE00)} at ${one.worst.geometry}, mean ${benchDifference(one.dE00)} over ${one.perAngle.length === 1 ? 'one angle' : `${one.perAngle.length} angles`}, measured ${basis}`,
    );
    if (one.missingAngles.length > 0)
      lines.push(`   not compared at ${one.missingAngles.join(', ')}: the card was not read there`);
    for (const note of one.notes) lines.push(`   not read alike: ${note}`);
    if (one.flakes.compared) lines.push(`   ${one.flakes.text}`);
    lines.push(`   undercoat ${one.undercoat ? sheetWords(one.undercoat) : 'not named'}`);
  });
  const angled = answer.candidates.some((one) => one.perAngle.some(({ geometry }) => geometry.includes('as')));
  if (angled && answer.candidates.every((one) => !one.flakes.compared))
    lines.push('', 'Flake appearance not compared.');
  return lines.join('\n');
}
