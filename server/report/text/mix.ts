/** The pour sheet for a terminal: undercoat grey first, then the colour, then what is known about the mix. */
import type { CostAnswer, Money, StockAnswer } from '../../answers/cost.ts';
import type { MixAnswer, PourRow } from '../../answers/mix.ts';
import type { ReadyAnswer } from '../../answers/ready.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from '../../answers/undercoat-sheet.ts';
import type { VocAnswer } from '../../answers/voc.ts';
import { vocFigureWords } from '../../paint/voc.ts';
import { table } from './table.ts';

export function mixText(sheet: MixAnswer): string {
  const said = sheet.differs ? ` (${sheet.weight} g asked for; the scale shows steps of ${sheet.scale})` : '';
  const lines = [`${sheet.formula} "${sheet.name}": ${sheet.weighable} g${said}`, ...sheet.basis];
  if (sheet.scaleNote) lines.push(sheet.scaleNote);
  lines.push('', ...undercoatText(sheet.undercoat, sheet), '', ...poursText(sheet));
  lines.push('', ...figuresText(sheet), '', ...sheet.cautions.map(({ text }) => text));
  return lines.join('\n');
}

/** Each coat is a cup of its own: its pours, then what makes it ready to spray. */
export function poursText(sheet: MixAnswer): string[] {
  const several = sheet.coats.length > 1;
  const lines = sheet.coats.flatMap(({ coat, weight, sprayed, readyToSpray }) => {
    const sprays = sprayed ? `, sprayed ${sprayed} times` : '';
    const pours = cupRows(sheet, coat).map((pour) => [pour.toner, pour.grams, pour.cumulative]);
    return [
      several ? `Colour, ${coat} coat, ${weight} g${sprays}:` : `Colour, ${weight} g:`,
      table([['toner', 'pour g', 'running g'], ...pours], ['left', 'right', 'right']),
      ...additionsText(readyToSpray),
    ];
  });
  return [...lines, ...strengthsText(sheet, ' (--lot-strength does)')];
}

/** @param hint how it would be counted */
export const strengthsText = ({ strengths, strengthsLeftOut }: MixAnswer, hint = ''): string[] => [
  ...strengths.map(
    ({ toner, lot, percent }) =>
      `${toner} is poured for lot ${lot}, which has ${percent} % of the strength of the standard lot.`,
  ),
  ...strengthsLeftOut.map(
    ({ toner, lot, percent }) =>
      `Lot ${lot} of ${toner} has ${percent} % of the strength of the standard lot; the pour does not count it${hint}.`,
  ),
];

/** What goes into the cup of a coat, what is left of another batch first. */
export function cupRows({ leftover, pours }: MixAnswer, coat: string): Omit<PourRow, 'coat'>[] {
  const { batch, grams } = leftover ?? { batch: '', grams: '' };
  const first = leftover?.coat === coat ? [{ toner: `left of ${batch}`, grams, cumulative: grams }] : [];
  return [...first, ...pours.filter((pour) => pour.coat === coat)];
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
    ...costsText(sheet),
    ...stocksText(sheet.stock),
  ];
}

/** Hardener and reducer into the same cup. */
export function additionsText(ready: ReadyAnswer | null): string[] {
  if (!ready || ready.lines.length === 0) return [];
  const rows = ready.lines.map((line) => [
    `${line.role} ${line.code}`,
    line.ratio,
    line.grams ?? '?',
    line.cumulative ?? '?',
    line.millilitres === null ? '?' : line.millilitres.toFixed(1),
  ]);
  return [
    `Into the same cup, ready to spray${wholeText(ready)}:`,
    table([['', 'ratio', 'pour g', 'running g', 'ml'], ...rows], ['left', 'left', 'right', 'right', 'right']),
  ];
}

export const wholeText = ({ grams, millilitres }: ReadyAnswer): string =>
  grams === null || millilitres === null ? '' : `, ${grams} g, ${millilitres.toFixed(1)} ml`;

/** What holds for every cup of a system. */
export function readyText(ready: ReadyAnswer | null): string[] {
  if (!ready) return [];
  const { notes, viscosity, potLife, keeps } = ready;
  return [
    ...notes.map((note) => `Ready to spray: ${note}`),
    ...(viscosity
      ? [
          `Viscosity: ${viscosity.seconds} s${viscosity.cup ? ` (${viscosity.cup})` : ''}${viscosity.caution ? `; ${viscosity.caution}` : ''}.`,
        ]
      : []),
    ...(potLife ? [`Pot life: ${potLife}.`] : []),
    ...(keeps ? [`Without hardener it keeps ${keeps}.`] : []),
  ];
}

/** @param what it is of, where that is not the colour, @param said notes that stand elsewhere already */
export function vocText(voc: VocAnswer, what = '', said: readonly string[] = []): string[] {
  const of = `VOC ${what}${voc.as}${voc.coat ? `, ${voc.coat} coat` : ''}`;
  if (voc.missing.length > 0) return [`${of}: not known (${voc.missing.join('; ')}).`];
  const figure = (value: number | null) => (value === null ? 'none' : value.toFixed(1));
  const limit =
    voc.limit === null || !voc.figure
      ? `The book names no limit${voc.regime ? ` of '${voc.regime}' for it` : ''}.`
      : `${voc.regimeName} ${voc.category}, as of ${voc.date}: ${voc.limit.toFixed(0)} g/l${voc.poundsPerGallon === null ? '' : ` (${voc.poundsPerGallon.toFixed(1)} lb/gal-US)`} ${vocFigureWords[voc.figure]}; ${
          voc.within === null ? 'not judged' : voc.within ? 'the mix is not above it' : 'the mix is above it'
        }.`;
  return [
    voc.staged === null || !voc.figure
      ? `${of}: actual ${figure(voc.actual)}, less water ${figure(voc.lessWater)}, less water and exempt ${figure(voc.lessWaterAndExempt)} g/l.`
      : `${of}, with its clear coat as one coating: ${figure(voc.staged)} g/l ${vocFigureWords[voc.figure]}.`,
    `  ${limit}`,
    ...voc.notes.filter((note) => !said.includes(note)).map((note) => `  ${note}`),
  ];
}

export function costsText({ cost, jobCost, undercoat, readyToSpray }: MixAnswer): string[] {
  const undercoats = undercoatsInOrder(undercoat);
  const more = undercoats.length > 0 || (readyToSpray?.lines.length ?? 0) > 0;
  return [
    ...costText(cost),
    ...undercoats.flatMap((one) => (one.cost ? costText(one.cost, `the undercoat ${sheetWords(one)}`) : [])),
    ...(more ? costText(jobCost, 'all that is poured, hardener and reducer too') : []),
  ];
}

export function costText(cost: CostAnswer, what = 'the colour'): string[] {
  const money = (sums: readonly Money[]) => sums.map(({ currency, amount }) => `${amount} ${currency}`).join(' and ');
  if (cost.sums.length === 0)
    return cost.unpriced.length > 0 ? [`Cost of ${what}: not known, no price for ${cost.unpriced.join(', ')}.`] : [];
  const per = [
    cost.perLitre && `${money(cost.perLitre)} per litre`,
    cost.perSquareMetre && `${money(cost.perSquareMetre)} per m2`,
  ].filter(Boolean);
  const least = cost.unpriced.length > 0 ? 'at least ' : '';
  const without = cost.unpriced.length > 0 ? `; no price for ${cost.unpriced.join(', ')}` : '';
  return [`Cost of ${what}: ${least}${money(cost.sums)}${per.length > 0 ? ` (${per.join(', ')})` : ''}${without}.`];
}

/** `GRN-2 B-4620 49.4 g`, lot by lot. */
export const takenText = (stock: readonly StockAnswer[]): string =>
  stock
    .flatMap(({ toner, from }) =>
      from.filter(({ grams }) => Number(grams) > 0).map((one) => `${toner} ${one.lot} ${one.grams} g`),
    )
    .join(', ');

/** What runs out or mixes lots, then what is left on the shelf. */
export function stocksText(stock: readonly StockAnswer[]): string[] {
  const left = stock.flatMap(({ toner, from }) => from.map((one) => `${toner} ${one.lot} ${one.left} g`));
  return [...stock.flatMap(stockText), ...(left.length > 0 ? [`Stock after it: ${left.join(', ')}.`] : [])];
}

function stockText({ toner, needed, from, short, mixesLots }: StockAnswer): string[] {
  return [
    ...(short ? [`Stock: ${toner} runs out, ${short} of ${needed} g are missing.`] : []),
    ...(mixesLots
      ? [
          `Stock: ${toner} comes from more than one lot (${from.map(({ lot, grams }) => `${lot} ${grams} g`).join(', ')}); their colours may differ.`,
        ]
      : []),
  ];
}

type Colour = Pick<MixAnswer, 'readyToSpray' | 'voc'>;

/** @param colour that goes on it: what holds for both is said with that */
export function undercoatText(undercoat: UndercoatSheet | null, colour: Colour | null): string[] {
  if (!undercoat) return ['Undercoat: the formula names none.'];
  return undercoatsInOrder(undercoat).flatMap((one, n) => oneUndercoat(one, colour, n === 0 ? 'first' : 'next'));
}

/** What holds for an undercoat that is of another system than its colour; else it is said with that. */
export const ownReadyText = ({ readyToSpray }: UndercoatSheet, colour: Colour | null): string[] =>
  readyToSpray?.system === colour?.readyToSpray?.system ? [] : readyText(readyToSpray);

function oneUndercoat(undercoat: UndercoatSheet, colour: Colour | null, when: 'first' | 'next'): string[] {
  const title = `Undercoat ${when}: ${sheetWords(undercoat)}${greyFigure(undercoat)}`;
  if (undercoat.problem) return [`${title}: ${undercoat.problem}`];
  const basis = basisText(undercoat);
  const rows = undercoat.pours.map((pour) => [pour.toner, pour.grams, pour.cumulative]);
  const after = afterText(undercoat);
  return [
    `${title}, ${undercoat.weight} g, ${basis}:`,
    table([['toner', 'pour g', 'running g'], ...rows], ['left', 'right', 'right']),
    ...additionsText(undercoat.readyToSpray),
    ...ownReadyText(undercoat, colour),
    ...(after ? [after] : []),
    ...(undercoat.voc ? vocText(undercoat.voc, 'of the undercoat, ', colour?.voc.notes) : []),
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

/** How much an area takes of the undercoat, its coats, and when the colour may go on it: a sentence, empty where nothing is said. */
export function afterText({ coats, recoat, spread }: UndercoatSheet): string {
  const said = [
    coats && `${coats.replace('..', ' to ')} ${coats === '1' ? 'coat' : 'coats'}`,
    recoat && `colour after ${recoat.after}${recoat.within ? `, within ${recoat.within}` : ''}`,
  ].filter(Boolean);
  const after = said.length === 0 ? '' : `${said.join('; ')}.`.replace(/^./, (first) => first.toUpperCase());
  return [spread ?? '', after].filter(Boolean).join(' ');
}
