import { chromium } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { sheet } from '../../../server/answers/sheet.ts';
import { subject } from '../../../server/answers/subject.ts';
import { quantity } from '../../../server/exact/quantity.ts';
import { rational } from '../../../server/exact/rational.ts';
import { sheetCsv } from '../../../server/report/csv/sheet.ts';
import { sheetHtml } from '../../../server/report/html/sheet.ts';
import { sheetText } from '../../../server/report/text/sheet.ts';
import { findChromium } from '../../editor/host/workbench.ts';
import { entry } from '../answers/entry.ts';
import { bookOf } from '../book/marked.ts';

const BOOK =
  entry('book "Shop <b>"', 'scale 0.1 g', 'voc eu-2004-42 topcoat') +
  entry(
    'system SB "Two-pack"',
    'hardener HRD parts 1 to 2 of paint by volume',
    'potlife 4 h at 23 C',
    'viscosity 40 s cup ISO-2431 4 mm',
  ) +
  ['A', 'B', 'W', 'K', 'HRD']
    .map((id) =>
      entry(`toner ${id} "Toner, ${id}"`, 'system SB', 'density 1 g/ml', 'solids 60 % weight', 'price 10 EUR/l'),
    )
    .join('') +
  entry(
    'undercoat SEAL "Sealer"',
    'grey N9 toner W 1',
    'grey N2 toner K 1',
    'coats 1..2',
    'recoat after 15 min within 24 h',
  ) +
  entry(
    'formula F "Green & \\"blue\\""',
    'system SB',
    'undercoat SEAL grey N9',
    'coat ground',
    'toner A 60',
    'toner B 40',
    'coat mid coats 2',
    'toner B 100',
    'note "Stir <A>."',
  );

const found = (more: object = {}, revision?: string) => {
  const book = bookOf(BOOK);
  return sheet(book, subject(book, 'F'), { quantity: quantity(rational(200), 'g'), ...more }, revision);
};

describe('the printed sheet', () => {
  const html = sheetHtml(found({}, '3f2a9c1 and unsaved changes'));

  it('has no script and loads nothing', () => {
    expect(html).not.toMatch(/<script|\son\w+=|https?:|src=|@import|url\(/i);
    expect(html).toContain(`default-src 'none'`);
  });

  it('escapes what the book says', () => {
    expect(html).toContain('Green &amp; &quot;blue&quot;');
    expect(html).toContain('Stir &lt;A&gt;.');
    expect(html).toContain('Shop &lt;b&gt;');
  });

  it('puts undercoat, ground, mid, ready to spray, cautions and label in their order', () => {
    const places = [
      '1. Undercoat',
      '2. Colour, ground',
      '3. Colour, mid',
      '4. Ready to spray',
      'What is known',
      'Take care',
      'class="label"',
    ].map((part) => html.indexOf(part));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places.every((at) => at > 0)).toBe(true);
  });

  it('says revision, recoat, isocyanates and who decides', () => {
    for (const part of [
      '3f2a9c1 and unsaved changes',
      'colour after 15 min, within 24 h',
      'isocyanates',
      'safety data sheets',
      'as of 2026-11-25',
    ])
      expect(html).toContain(part);
    expect(sheetHtml(found())).toContain('no revision');
  });

  it('has a label for every cup, with what is in it', () => {
    expect(html.match(/class="label"/g)).toHaveLength(2);
    expect(html).toContain('Label for the cup, ground coat');
    expect(html).toContain('Green &amp; &quot;blue&quot;, mid coat<br>100.0 g');
  });

  it('puts the figure first that the eye looks for', () => {
    expect(html.indexOf('scale shows, g')).toBeLessThan(html.indexOf('this pour, g'));
    expect(sheetHtml(found({ mode: 'tared' }))).toContain('Tared: set the scale to zero before every pour.');
  });

  it.each(['A4', 'Letter'])(
    'fits one page of %s in Chromium, black on white',
    async (format) => {
      const browser = await chromium.launch({ executablePath: await findChromium(), args: ['--no-sandbox'] });
      try {
        const page = await browser.newPage();
        await page.setContent(html);
        const pdf = await page.pdf({ format });
        expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
        const colours = await page.evaluate(() =>
          [...document.querySelectorAll('body, body *')].flatMap((one) => [
            getComputedStyle(one).color,
            getComputedStyle(one).backgroundColor,
          ]),
        );
        expect([...new Set(colours)].sort()).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)', 'rgba(0, 0, 0, 0)']);
      } finally {
        await browser.close();
      }
    },
    30_000,
  );
});

it('a long formula goes on over the pages without leaving one of them nearly empty', async () => {
  const codes = Array.from({ length: 60 }, (_, n) => `T-${n}`);
  const long = bookOf(
    codes.map((code) => entry(`toner ${code} "${code}"`)).join('') +
      entry('formula LONG "Long"', 'target weight 900 g', ...codes.map((code, n) => `toner ${code} ${n + 1}`)),
  );
  const browser = await chromium.launch({ executablePath: await findChromium(), args: ['--no-sandbox'] });
  try {
    const page = await browser.newPage();
    await page.setContent(sheetHtml(sheet(long, subject(long, 'LONG'))));
    const pdf = await page.pdf({ format: 'A4' });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(3);
  } finally {
    await browser.close();
  }
}, 30_000);

it('as comma-separated values is quoted where a spreadsheet would slip', () => {
  const csv = sheetCsv(found());
  expect(csv.split('\r\n').slice(0, 4)).toEqual([
    'part,coat,code,name,pour_g,running_g',
    'undercoat,SEAL N9,W,"Toner, W",200.0,200.0',
    'colour,ground,A,"Toner, A",60.0,60.0',
    'colour,ground,B,"Toner, B",40.0,100.0',
  ]);
  expect(csv).toContain('hardener,ground,HRD');
  expect(csv).toContain('hardener,mid,HRD');
});

it('as text ends with how to weigh and the revision', () => {
  expect(sheetText(found())).toMatch(
    /Weighing running: set the scale to zero once\.\nBook: Shop <b>, revision no revision\.$/,
  );
});
