/** A reading or a card for a terminal: how far it can be trusted, then its colours. */
import type { Flop } from '../../answers/flop.ts';
import type { ReadingAnswer } from '../../answers/show-reading.ts';
import { parseGeometry } from '../../colour/geometry.ts';
import { againstText } from './against.ts';
import { fixed, notes, sentence } from './figures.ts';
import { table } from './table.ts';

export function readingText(answer: ReadingAnswer): string {
  const taken = answer.taken ? `, taken ${answer.taken}` : '';
  const by = answer.instrument ? ` with ${answer.instrument}` : '';
  return [
    `${answer.kind} ${answer.id} "${answer.name}"${taken}${by}`,
    ...repeatText(answer),
    ...flopText(answer, answer.colours),
    ...notes(answer.notes),
    '',
    colours(answer),
    ...againstText(answer),
  ].join('\n');
}

function colours({ colours }: ReadingAnswer): string {
  if (colours.length === 0) return '  No colour.';
  const rows = colours.map((colour) => [
    colour.geometry,
    `${colour.illuminant}/${colour.observer}`,
    ...colour.lab.map((value) => fixed(value, 2)),
    colour.from === 'spectrum' ? 'from its spectrum' : 'as read',
  ]);
  return table([['angle', 'light', 'L*', 'a*', 'b*', ''], ...rows], ['left', 'left', 'right', 'right', 'right']);
}

function repeatText({ repeat, leftOut }: ReadingAnswer): string[] {
  const lines = leftOut.map(
    ({ take, geometry, reason }) =>
      `Take ${take}${geometry ? ` at ${geometry}` : ''} is left out: ${reason || 'no reason is written'}.`,
  );
  const { takes, mcdm, largest, geometry, outlier } = repeat;
  if (!mcdm || !largest)
    return [
      ...lines,
      takes === 0 ? 'Nothing was read that gives a colour.' : 'One take: how well it repeats is not known.',
    ];
  lines.push(
    `${takes} takes repeat to ${fixed(mcdm.dE00, 2)} dE00 (mean from their mean; the largest ${fixed(largest.dE00, 2)}), worst at ${geometry}.`,
  );
  if (outlier)
    lines.push(
      `Take ${outlier.take} at ${outlier.geometry} lies apart: repeat it, or leave it out with: without take ${outlier.take} at ${outlier.geometry} "…"`,
    );
  return lines;
}

/** Not spoken of where nothing was read at an angle from the gloss: a solid colour has no flop. */
export function flopText({ flopIndex, flopReason }: Flop, read: readonly { readonly geometry: string }[]): string[] {
  if (flopIndex !== null) return [`Flop index ${fixed(flopIndex, 1)}.`];
  const angled = read.some(({ geometry }) => parseGeometry(geometry).kind === 'aspecular');
  return angled ? [sentence(`no flop index: ${flopReason}`)] : [];
}
