/** The pour sheet as one page that needs nothing else: to be printed on A4 or letter, legible in black and white, without a script. */
import type { ReadyAnswer } from '../../answers/ready.ts';
import type { SheetAnswer } from '../../answers/sheet.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from '../../answers/undercoat-sheet.ts';
import type { VocAnswer } from '../../answers/voc.ts';
import {
  afterText,
  basisText,
  costsText,
  cupRows,
  ownReadyText,
  readyText,
  strengthsText,
  vocText,
  wholeText,
} from '../text/mix.ts';
import { escapeXml as text } from '../xml.ts';

const STYLE = `
:root { color-scheme: light; }
@page { margin: 8mm 13mm; }
body { font: .9rem/1.3 Georgia, 'Liberation Serif', serif; color: #000; background: #fff; max-width: 46rem; margin: 1.2rem auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; line-height: 1.15; margin: 0; }
h2 { font-size: 1rem; margin: 1rem 0 .25rem; border-bottom: 2px solid #000; }
header { display: flex; justify-content: space-between; gap: 2rem; align-items: flex-end; }
header p { margin: .15rem 0 0; }
.weight { font-size: 1.6rem; white-space: nowrap; text-align: right; line-height: 1.15; }
.weight small { display: block; font-size: .85rem; }
p { margin: .25rem 0; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: normal; font-style: italic; font-size: .85rem; }
td { border-top: 1px solid #777; padding: .2rem .6rem .2rem 0; vertical-align: baseline; }
th { padding: 0 .6rem 0 0; }
.n { text-align: right; width: 6.5rem; }
.lead { font-size: 1.3rem; font-weight: bold; }
.code { font-weight: bold; white-space: nowrap; width: 7rem; }
.tick { width: 1.6rem; padding-right: 0; }
.tick i { display: inline-block; width: .8rem; height: .8rem; border: 1.5px solid #000; vertical-align: -1px; }
.total td { border-top: 2px solid #000; }
.added { font-style: italic; font-size: .85rem; padding: .1rem 0 0; }
ul { margin: .2rem 0; padding-left: 1.1rem; }
.cautions { font-size: .75rem; line-height: 1.25; }
.cautions ul { columns: 2; column-gap: 1.5rem; }
.cautions li { break-inside: avoid; }
.grave { font-weight: bold; }
.label { border: 2px solid #000; padding: .3rem .8rem .5rem; margin-top: .9rem; break-inside: avoid; display: grid; grid-template-columns: 2fr 1fr 1fr; gap: .15rem 1rem; font-size: .75rem; }
.label strong { font-size: .95rem; }
.label .fill { border-bottom: 1px solid #000; min-height: 5mm; }
section:not(:has(tr:nth-child(16))), table:not(:has(tr:nth-child(16))), tr, li { break-inside: avoid; } h2, thead { break-after: avoid; }
@media print { html { font-size: 9.8pt; } body { margin: 0; max-width: none; padding: 0; line-height: 1.22; } h2 { margin-top: .45rem; } p { margin: .15rem 0; } td { padding-top: .1rem; padding-bottom: .1rem; } .lead { font-size: 1.2rem; } .label { margin-top: .6rem; } }
@media (max-width: 34rem) { header { flex-direction: column; align-items: flex-start; gap: .4rem; } .weight { text-align: left; } .label { grid-template-columns: 1fr; } .cautions ul { columns: 1; } }
`;

export function sheetHtml(sheet: SheetAnswer): string {
  return [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    `<title>${text(`${sheet.formula} ${sheet.weighable} g`)}</title>`,
    `<style>${STYLE}</style></head><body>`,
    head(sheet),
    '<main>',
    warnings(sheet),
    undercoat(sheet),
    colour(sheet),
    ready(sheet),
    facts(sheet),
    notes(sheet),
    cautions(sheet),
    '</main>',
    ...sheet.coats.map((coat) => label(sheet, coat)),
    '</body></html>',
    '',
  ].join('\n');
}

function head(sheet: SheetAnswer): string {
  const vehicle = [sheet.maker, sheet.code && `code ${sheet.code}`, sheet.finish, sheet.system?.name].filter(Boolean);
  const asked = sheet.differs ? `${sheet.weight} g asked for` : `steps of ${sheet.scale}`;
  return [
    '<header><div>',
    `<h1>${text(sheet.name)}</h1>`,
    `<p><strong>${text(sheet.formula)}</strong>${vehicle.length > 0 ? `, ${text(vehicle.join(', '))}` : ''}${sheet.status ? `, ${text(sheet.status)}` : ''}</p>`,
    `<p>${text(sheet.shop)}${sheet.shop ? ', ' : ''}revision ${text(sheet.revision)}</p>`,
    `</div><div class="weight">${text(sheet.weighable)} g<small>${text(asked)}</small></div></header>`,
    ...[...sheet.basis, ...(sheet.scaleNote ? [sheet.scaleNote] : [])].map((one) => `<p>${text(one)}</p>`),
  ].join('\n');
}

interface Row {
  readonly toner: string;
  readonly grams: string;
  readonly cumulative: string;
}

const RUNNING = ['scale shows', 'this pour'] as const;
const TARED = ['pour', 'all so far'] as const;
const columns = ({ mode }: SheetAnswer) => (mode === 'running' ? RUNNING : TARED);

/** The figure that the eye looks for stands first and large: the running one, or the pour where the scale is set to zero. */
function pours(sheet: SheetAnswer, rows: readonly Row[], total: string | undefined, ready: ReadyAnswer | null): string {
  const [first, second] = columns(sheet);
  const running = sheet.mode === 'running';
  return [
    `<table><thead><tr><th></th><th>toner</th><th></th><th class="n">${first}, g</th><th class="n">${second}, g</th></tr></thead>`,
    ...rows.map((one) => line(sheet, one, sheet.names[one.toner] ?? '')),
    ...(total === undefined || running
      ? []
      : [
          `<tr class="total"><td></td><td class="code">total</td><td></td><td class="n lead">${text(total)}</td><td></td></tr>`,
        ]),
    ...additions(sheet, ready),
    '</table>',
  ].join('\n');
}

function line(sheet: SheetAnswer, { toner, grams, cumulative }: Row, what: string): string {
  const [lead, other] = sheet.mode === 'running' ? [cumulative, grams] : [grams, cumulative];
  return `<tr><td class="tick"><i></i></td><td class="code">${text(toner)}</td><td>${text(what)}</td><td class="n lead">${text(lead)}</td><td class="n">${text(other)}</td></tr>`;
}

/** Hardener and reducer, which go into the same cup. */
function additions(sheet: SheetAnswer, ready: ReadyAnswer | null): string[] {
  if (!ready || ready.lines.length === 0) return [];
  return [
    `<tr class="total"><td></td><td class="added" colspan="4">${text(`to make it ready to spray${wholeText(ready)}`)}</td></tr>`,
    ...ready.lines.map(({ code, role, ratio, millilitres, grams, cumulative }) =>
      line(
        sheet,
        { toner: code, grams: grams ?? '?', cumulative: cumulative ?? '?' },
        `${role}, ${ratio}${millilitres === null ? '' : `, ${millilitres.toFixed(1)} ml`}`,
      ),
    ),
  ];
}

function undercoat(sheet: SheetAnswer): string {
  const all = undercoatsInOrder(sheet.undercoat);
  if (all.length === 0) return '<section><h2>Undercoat</h2><p>The formula names none.</p></section>';
  return all.map((one, n) => oneUndercoat(sheet, one, n + 1)).join('\n');
}

function oneUndercoat(sheet: SheetAnswer, one: UndercoatSheet, number: number): string {
  const said = [afterText(one), ...ownReadyText(one, sheet)].filter((sentence) => sentence !== '');
  return [
    `<section><h2>${number}. Undercoat: ${text(sheetWords(one))}</h2>`,
    `<p>${text(greyText(one))}</p>`,
    ...(one.pours.length > 0 ? [pours(sheet, one.pours, one.weight, one.readyToSpray)] : []),
    ...(said.length > 0 ? [`<p>${text(said.join(' '))}</p>`] : []),
    '</section>',
  ].join('\n');
}

function greyText(one: UndercoatSheet): string {
  const { munsellValue, lightness } = one;
  const figures =
    munsellValue === null || lightness === null ? [] : [`Munsell N${munsellValue}, L* ${lightness.toFixed(1)}`];
  return one.problem
    ? [...figures, one.problem].join('. ')
    : `${[...figures, `${one.weight} g, ${basisText(one)}`].join('; ')}.`;
}

function colour(sheet: SheetAnswer): string {
  const several = sheet.coats.length > 1;
  const mode =
    sheet.mode === 'running'
      ? 'Running: set the scale to zero once, with the empty cup on it.'
      : 'Tared: set the scale to zero before every pour.';
  const before = Math.max(1, undercoatsInOrder(sheet.undercoat).length);
  const sections = sheet.coats.map(({ coat, weight, sprayed, readyToSpray }, n) => {
    const times = sprayed ? `, sprayed ${sprayed} times` : '';
    return [
      `<section><h2>${n + 1 + before}. Colour${several ? `, ${text(coat)} coat` : ''}: ${text(weight)} g${times}</h2>`,
      n === 0 ? `<p>${mode}</p>` : '',
      pours(sheet, cupRows(sheet, coat), weight, readyToSpray),
      '</section>',
    ].join('\n');
  });
  const lots = strengthsText(sheet).map((one) => `<p>${text(one)}</p>`);
  return [...sections, ...lots].join('\n');
}

/** What holds for every cup of the colour's system. */
function ready(sheet: SheetAnswer): string {
  const one = sheet.readyToSpray;
  const said = readyText(one);
  if (!one || (said.length === 0 && one.lines.length === 0)) return '';
  const clock = one.potLife ? [`Hardener in at: ______ o'clock. Use by: ______ o'clock.`] : [];
  const number = sheet.coats.length + 1 + Math.max(1, undercoatsInOrder(sheet.undercoat).length);
  return [
    `<section><h2>${number}. Ready to spray${text(wholeText(one).replace(',', ':'))}</h2>`,
    `<p>${text([...said, ...clock].join(' '))}</p>`,
    '</section>',
  ].join('\n');
}

function facts(sheet: SheetAnswer): string {
  const { volume, stock } = sheet;
  const lines = [
    sheet.difference,
    volume.millilitres === null
      ? `Volume not known: ${volume.missing.join('; ')}.`
      : `${volume.millilitres.toFixed(0)} ml of colour.`,
    ...[sheet.voc, ...undercoatsInOrder(sheet.undercoat).map(({ voc }) => voc)].flatMap((voc, n) =>
      voc
        ? [
            vocText(voc, n === 0 ? '' : 'of the undercoat, ', n === 0 ? [] : sheet.voc.notes)
              .map((one) => one.trim())
              .join(' '),
          ]
        : [],
    ),
    costsText(sheet).join(' '),
    ...stock.filter((one) => one.short).map((one) => `${one.toner} runs out: ${one.short} g are missing.`),
  ];
  return `<section><h2>What is known</h2><ul>${lines
    .filter((line) => line !== '')
    .map((line) => `<li>${text(line)}</li>`)
    .join('')}</ul></section>`;
}

/** Mistakes in the formula stand before anything that could be poured. */
const warnings = (sheet: SheetAnswer): string =>
  sheet.warnings.length === 0
    ? ''
    : `<section><h2>Before you pour</h2><ul>${sheet.warnings.map((one) => `<li>${one.kind === 'broken' ? '<strong>Do not pour yet.</strong> ' : ''}${text(one.message)}${one.place ? ` (${text(one.place)})` : ''}</li>`).join('')}</ul></section>`;

const notes = (sheet: SheetAnswer): string =>
  sheet.notes.length === 0
    ? ''
    : `<section><h2>Notes</h2><ul>${sheet.notes.map((note) => `<li>${text(note)}</li>`).join('')}</ul></section>`;

const cautions = (sheet: SheetAnswer): string =>
  `<section class="cautions"><h2>Take care</h2><ul>${sheet.cautions
    .map(
      ({ id, text: said }) =>
        `<li${id === 'isocyanate' || id === 'authority' ? ' class="grave"' : ''}>${text(said)}</li>`,
    )
    .join('')}</ul></section>`;

/** For each cup: cut out along the frame. What only the hand knows is left to be filled in. */
function label(sheet: SheetAnswer, { coat, weight, readyToSpray: ready }: SheetAnswer['coats'][number]): string {
  const hardener = ready?.lines.some((line) => line.role === 'hardener') ?? false;
  const of = sheet.coats.length > 1 ? `, ${coat} coat` : '';
  const use = hardener
    ? `use by${ready?.potLife ? ` (pot life ${ready.potLife})` : ''}`
    : ready?.keeps
      ? `use by (keeps ${ready.keeps})`
      : 'use by';
  const fill = (what: string) => `<div class="fill">${text(what)}</div>`;
  return [
    `<aside class="label" aria-label="${text(`Label for the cup${of}`)}">`,
    `<div><strong>${text(sheet.formula)}</strong> ${text(`${sheet.name}${of}`)}<br>${text(weight)} g, revision ${text(sheet.revision)}</div>`,
    fill('mixed on'),
    fill('by'),
    `<div>${text(sheet.shop)}<br>Hazards: as its safety data sheets say.</div>`,
    fill(`hardener in it: yes / no${hardener ? '' : ' (the system has none)'}`),
    fill(use),
    `<div>${text(labelVoc(sheet.voc, coat))}</div>`,
    fill('batch'),
    fill('weighs'),
    '</aside>',
  ].join('\n');
}

/** Of the cup itself; of all stages together where they count as one coating. */
function labelVoc(voc: VocAnswer, coat: string): string {
  const figures = voc.staged === null ? voc.coats.find((one) => one.coat === coat) : voc;
  const figure = figures?.[voc.figure ?? 'actual'] ?? null;
  return figure === null ? 'VOC not known' : `VOC ${voc.category ?? ''} ${figure.toFixed(0)} g/l ${voc.as}`;
}
