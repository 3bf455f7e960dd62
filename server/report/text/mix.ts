/** The pour sheet for a terminal: undercoat grey first, then the colour. */
import type { MixAnswer, UndercoatSheet } from '../../answers/mix.ts';
import { table } from './table.ts';

export function mixText(sheet: MixAnswer): string {
  const said = sheet.differs ? ` (${sheet.weight} g asked for; the scale shows steps of ${sheet.scale})` : '';
  const lines = [`${sheet.formula} "${sheet.name}": ${sheet.weighable} g${said}`, ''];
  lines.push(...undercoatText(sheet.undercoat), '');
  const several = sheet.coats.length > 1;
  for (const { coat, weight, sprayed } of sheet.coats) {
    lines.push(
      several
        ? `Colour, ${coat} coat, ${weight} g${sprayed ? `, sprayed ${sprayed} times` : ''}:`
        : `Colour, ${weight} g:`,
    );
    const pours = sheet.pours.filter((pour) => pour.coat === coat);
    lines.push(
      table(
        [['toner', 'pour g', 'running g'], ...pours.map((pour) => [pour.toner, pour.grams, pour.cumulative])],
        ['left', 'right', 'right'],
      ),
    );
  }
  return lines.join('\n');
}

export function undercoatText(undercoat: UndercoatSheet | null): string[] {
  if (!undercoat) return ['Undercoat: the formula names none.'];
  const title = `Undercoat first: ${undercoat.undercoat} grey ${undercoat.grey} (Munsell N${undercoat.munsellValue}, L* ${undercoat.lightness.toFixed(1)})`;
  if (undercoat.problem) return [`${title}: ${undercoat.problem}`];
  const basis =
    undercoat.basis === 'measured'
      ? 'a measured step'
      : undercoat.basis === 'interpolated'
        ? 'computed between measured steps'
        : 'computed between the two ends only, try it on a card';
  const rows = undercoat.pours.map((pour) => [pour.toner, pour.grams, pour.cumulative]);
  const after = [
    undercoat.coats && `coats ${undercoat.coats}`,
    undercoat.recoat &&
      `colour after ${undercoat.recoat.after}${undercoat.recoat.within ? `, within ${undercoat.recoat.within}` : ''}`,
  ]
    .filter(Boolean)
    .join('; ');
  return [
    `${title}, ${undercoat.weight} g, ${basis}:`,
    table([['toner', 'pour g', 'running g'], ...rows], ['left', 'right', 'right']),
    ...(after ? [`  ${after}`] : []),
  ];
}
