/** How far two colours part when the light changes: the worst in words, then every angle and light. */
import type { Against } from '../../answers/against.ts';
import type { ShownMetamerism } from '../../answers/metamerism.ts';
import { fixed, notes } from './figures.ts';
import { table } from './table.ts';

export function againstText({ against, reference, metamerism = [], againstNotes = [] }: Partial<Against>): string[] {
  if (against === undefined) return [];
  const lines = ['', `Metamerism against ${against}, made equal under ${reference}:`];
  const [worst] = metamerism.toSorted((a, b) => partedBy(b) - partedBy(a));
  if (worst)
    lines.push(
      `It parts most under ${worst.illuminant}/${worst.observer} at ${worst.geometry}, by ${fixed(partedBy(worst), 1)} ${worst.multiplicative ? 'dE00' : 'dE76'}.`,
      ...notes(againstNotes),
      figures(metamerism),
    );
  else lines.push(...notes(againstNotes));
  return lines;
}

/** The multiplicative index is the preferred one; there is none for a black. */
const partedBy = (one: ShownMetamerism): number => one.multiplicative?.dE00 ?? one.additive.dE76;

function figures(metamerism: readonly ShownMetamerism[]): string {
  const rows = metamerism
    .toSorted((a, b) => partedBy(b) - partedBy(a))
    .map(({ geometry, illuminant, observer, multiplicative, additive }) => [
      geometry,
      `${illuminant}/${observer}`,
      ...(multiplicative ? [fixed(multiplicative.dE00, 2), fixed(multiplicative.dE76, 2)] : ['black', 'black']),
      fixed(additive.dE76, 2),
    ]);
  const head = ['angle', 'light', 'multiplicative dE00', 'multiplicative dE76', 'additive dE76'];
  return table([head, ...rows], ['left', 'left', 'right', 'right', 'right']);
}
