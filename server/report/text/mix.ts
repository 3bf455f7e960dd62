/** The pour sheet for a terminal: undercoat grey first, then the colour, then what is known about the mix. */
import type { CostAnswer, Money, StockAnswer } from '../../answers/cost.ts';
import type { MixAnswer } from '../../answers/mix.ts';
import type { ReadyAnswer } from '../../answers/ready.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from '../../answers/undercoat-sheet.ts';
import type { VocAnswer } from '../../answers/voc.ts';
import { table } from './table.ts';

export function mixText(sheet: MixAnswer): string {
  const said = sheet.differs ? ` (${sheet.weight} g asked for; the scale shows steps of ${sheet.scale})` : '';
  const lines = [`${sheet.formula} "${sheet.name}": ${sheet.weighable} g${said}`, ...sheet.basis, ''];
  lines.push(...undercoatText(sheet.undercoat), '', ...poursText(sheet));
  lines.push('', ...figuresText(sheet), '', ...sheet.cautions.map(({ text }) => text));
  return lines.join('\n');
}

export function poursText(sheet: MixAnswer): string[] {
  const several = sheet.coats.length > 1;
  const lines = sheet.coats.flatMap(({ coat, weight, sprayed }) => {
    const pours = sheet.pours.filter((pour) => pour.coat === coat);
    const sprays = sprayed ? `, sprayed ${sprayed} times` : '';
    return [
      several ? `Colour, ${coat} coat, ${weight} g${sprays}:` : `Colour, ${weight} g:`,
      table(
        [['toner', 'pour g', 'running g'], ...pours.map((pour) => [pour.toner, pour.grams, pour.cumulative])],
        ['left', 'right', 'right'],
      ),
    ];
  });
  for (const { toner, lot, percent } of sheet.strengths)
    lines.push(`  ${toner} is poured for lot ${lot}, which has ${percent} % of the strength of the standard lot.`);
  return lines;
}

/** Volume, ready to spray, VOC, cost and stock. */
export function figuresText(sheet: MixAnswer): string[] {
  const { volume } = sheet;
  return [
    volume.millilitres === null
      ? `Volume: not known (${volume.missing.join('; ')}).`
      : `Volume: ${volume.millilitres.toFixed(1)} ml at ${volume.density!.toFixed(3)} g/ml.`,
    ...readyText(sheet.readyToSpray),
    ...vocText(sheet.voc),
    ...costText(sheet.cost),
    ...sheet.stock.flatMap(stockText),
  ];
}

export function readyText(ready: ReadyAnswer | null): string[] {
  if (!ready) return [];
  const rows = ready.lines.map((line) => [
    `${line.role} ${line.code}`,
    line.ratio,
    line.grams ?? '?',
    line.cumulative ?? '?',
    line.millilitres === null ? '?' : line.millilitres.toFixed(1),
  ]);
  const whole = ready.grams === null ? '' : `, ${ready.grams} g, ${ready.millilitres!.toFixed(1)} ml`;
  return [
    ...(rows.length > 0
      ? [
          `Ready to spray, all coats in one cup${whole}:`,
          table([['', 'ratio', 'pour g', 'running g', 'ml'], ...rows], ['left', 'left', 'right', 'right', 'right']),
        ]
      : []),
    ...ready.notes.map((note) => `  ${note}`),
    ...(ready.viscosity
      ? [
          `  Viscosity: ${ready.viscosity.seconds} s${ready.viscosity.cup ? ` (${ready.viscosity.cup})` : ''}${ready.viscosity.caution ? `; ${ready.viscosity.caution}` : ''}.`,
        ]
      : []),
    ...(ready.potLife ? [`  Pot life: ${ready.potLife}.`] : []),
    ...(ready.keeps ? [`  Without hardener it keeps ${ready.keeps}.`] : []),
  ];
}

const FIGURES = { actual: 'actual', lessWater: 'less water', lessWaterAndExempt: 'less water and exempt' } as const;

export function vocText(voc: VocAnswer): string[] {
  const of = `VOC ${voc.as}${voc.coat ? `, ${voc.coat} coat` : ''}`;
  if (voc.missing.length > 0) return [`${of}: not known (${voc.missing.join('; ')}).`];
  const figure = (value: number | null) => (value === null ? 'none' : value.toFixed(1));
  const limit =
    voc.limit === null || !voc.figure
      ? 'The book names no limit.'
      : `${voc.regimeName} ${voc.category}, as of ${voc.date}: ${voc.limit.toFixed(0)} g/l ${FIGURES[voc.figure]}; ${
          voc.within === null ? 'not judged' : voc.within ? 'the mix is not above it' : 'the mix is above it'
        }.`;
  return [
    `${of}: actual ${figure(voc.actual)}, less water ${figure(voc.lessWater)}, less water and exempt ${figure(voc.lessWaterAndExempt)} g/l.`,
    `  ${limit}`,
    ...voc.notes.map((note) => `  ${note}`),
  ];
}

export function costText(cost: CostAnswer): string[] {
  const money = (sums: readonly Money[]) => sums.map(({ currency, amount }) => `${amount} ${currency}`).join(' and ');
  if (cost.sums.length === 0) return ['Cost: no toner of the mix has a price.'];
  const per = [
    cost.perLitre && `${money(cost.perLitre)} per litre`,
    cost.perSquareMetre && `${money(cost.perSquareMetre)} per m2`,
  ].filter(Boolean);
  const least = cost.unpriced.length > 0 ? 'at least ' : '';
  const without = cost.unpriced.length > 0 ? `; no price for ${cost.unpriced.join(', ')}` : '';
  return [`Cost of the colour: ${least}${money(cost.sums)}${per.length > 0 ? ` (${per.join(', ')})` : ''}${without}.`];
}

function stockText({ toner, needed, from, short, mixesLots }: StockAnswer): string[] {
  if (short) return [`Stock: ${toner} runs out, ${short} of ${needed} g are missing.`];
  if (!mixesLots) return [];
  return [
    `Stock: ${toner} comes from more than one lot (${from.map(({ lot, grams }) => `${lot} ${grams} g`).join(', ')}); their colours may differ.`,
  ];
}

export function undercoatText(undercoat: UndercoatSheet | null): string[] {
  if (!undercoat) return ['Undercoat: the formula names none.'];
  return undercoatsInOrder(undercoat).flatMap((one, n) => oneUndercoat(one, n === 0 ? 'first' : 'next'));
}

function oneUndercoat(undercoat: UndercoatSheet, when: 'first' | 'next'): string[] {
  const title = `Undercoat ${when}: ${sheetWords(undercoat)}${greyFigure(undercoat)}`;
  if (undercoat.problem) return [`${title}: ${undercoat.problem}`];
  const basis = basisText(undercoat);
  const rows = undercoat.pours.map((pour) => [pour.toner, pour.grams, pour.cumulative]);
  const after = afterText(undercoat);
  return [
    `${title}, ${undercoat.weight} g, ${basis}:`,
    table([['toner', 'pour g', 'running g'], ...rows], ['left', 'right', 'right']),
    ...(after ? [`  ${after}`] : []),
  ];
}

/** ` (Munsell N5, L* 51.0)`; nothing of a coloured undercoat. */
const greyFigure = ({ munsellValue, lightness }: UndercoatSheet): string =>
  munsellValue === null || lightness === null ? '' : ` (Munsell N${munsellValue}, L* ${lightness.toFixed(1)})`;

export const basisText = ({ basis }: UndercoatSheet): string =>
  basis === 'formula'
    ? 'a coloured undercoat'
    : basis === 'measured'
      ? 'a measured step'
      : basis === 'interpolated'
        ? 'computed between measured steps'
        : 'computed between the two ends only, try it on a card';

/** Coats of the undercoat, and when the colour may go on it. */
export function afterText({ coats, recoat, readyToSpray }: UndercoatSheet): string {
  return [
    ...(readyToSpray?.lines ?? []).map(
      (line) => `${line.role} ${line.code} ${line.ratio}${line.grams ? `, ${line.grams} g` : ''}`,
    ),
    coats && `${coats.replace('..', ' to ')} ${coats === '1' ? 'coat' : 'coats'}`,
    recoat && `colour after ${recoat.after}${recoat.within ? `, within ${recoat.within}` : ''}`,
  ]
    .filter(Boolean)
    .join('; ');
}
