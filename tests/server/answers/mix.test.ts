/** Check values through the book. Where no other source is named they are computed by hand from the formula shown. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MixAsked, mix } from '../../../server/answers/mix.ts';
import { subject } from '../../../server/answers/subject.ts';
import { quantity } from '../../../server/exact/quantity.ts';
import { rational } from '../../../server/exact/rational.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const SAMPHIRE =
  entry('book "b"', 'scale 0.1 g') +
  entry('formula SAM-31 "Green"', 'toner GRN-2 41.20', 'toner ALU-C 22.60', 'toner BLK-1 1.25', 'toner BND-0 34.95') +
  entry('variant SAM-31/dark "Dark"', 'toner BLK-1 +0.40', 'toner ALU-C -1.10') +
  entry('scale FINE "Fine"', 'readability 0.01 g', 'capacity 200 g');

const mixOf = (text: string, id: string, asked: MixAsked = {}) => {
  const book = bookOf(text);
  return mix(book, subject(book, id, ['formula']), asked);
};
const q = (value: string, symbol: string) => quantity(rational(value), symbol);
const running = (text: string, id: string, asked: MixAsked) =>
  mixOf(text, id, asked).pours.map((one) => one.cumulative);

describe('the pours', () => {
  it('run as in the design at 80 g on 0.1 g', () => {
    const asked = { quantity: q('80', 'g') };
    expect(running(SAMPHIRE, 'SAM-31', asked)).toEqual(['33.0', '51.0', '52.0', '80.0']);
    expect(running(SAMPHIRE, 'SAM-31/dark', asked)).toEqual(['33.2', '50.5', '51.8', '80.0']);
  });

  it('go onto the finest scale that carries the cup where the bench scale does not', () => {
    const text =
      SAMPHIRE.replace('scale 0.1 g', 'scale 0.1 g capacity 300 g') + entry('scale FLOOR "Floor"', 'readability 0.5 g');
    const asked = (grams: string, more: MixAsked = {}) => mixOf(text, 'SAM-31', { quantity: q(grams, 'g'), ...more });
    expect(asked('300')).toMatchObject({ scale: '0.1 g', scaleNote: null });
    expect(asked('301')).toMatchObject({
      scale: '0.5 g',
      scaleNote: 'The bench scale carries 300 g; this is 301 g without the cup: weigh it on FLOOR.',
    });
    expect(asked('250', { cup: rational('60') }).scaleNote).toContain('310 g with the cup');
    expect(() => asked('190', { cup: rational('60'), scale: 'FINE' })).toThrow(
      'FINE carries 200 g; this is 250 g with the cup. FLOOR carries it: --scale FLOOR.',
    );
    const alone = text.slice(0, text.indexOf('scale FLOOR'));
    expect(() => mixOf(alone, 'SAM-31', { quantity: q('301', 'g') })).toThrow('make it in two cups');
  });

  it('take another scale, and refuse what it does not carry', () => {
    expect(running(SAMPHIRE, 'SAM-31', { quantity: q('80', 'g'), scale: 'FINE' })).toEqual([
      '32.96',
      '51.04',
      '52.04',
      '80.00',
    ]);
    expect(() => mixOf(SAMPHIRE, 'SAM-31', { quantity: q('201', 'g'), scale: 'FINE' })).toThrow('carries 200 g');
    expect(() => mixOf(SAMPHIRE, 'SAM-31', { quantity: q('80', 'g'), scale: 'COARSE' })).toThrow('no scale');
  });

  it('are exact at the nearest weighable weight, whatever is asked for', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 500_000 }),
        fc.constantFrom('0.1', '0.05', '0.01', '0.02'),
        (hundredths, step) => {
          const weight = rational(hundredths).div(100);
          const text = SAMPHIRE.replace('scale 0.1 g', `scale ${step} g`);
          const sheet = mixOf(text, 'SAM-31/dark', { quantity: { value: weight, unit: q('1', 'g').unit } });
          const total = sheet.pours.reduce((sum, pour) => sum.add(rational(pour.grams)), rational(0));
          expect(total.equals(rational(sheet.total))).toBe(true);
          expect(total.sub(weight).abs().lte(rational(step).div(2))).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('are those of the weight that is made where the scale cannot show what was asked for', () => {
    const made = mixOf(SAMPHIRE, 'SAM-31', { quantity: q('80.04', 'g') });
    expect(made).toMatchObject({ weight: '80.04', weighable: '80.0', differs: true });
    expect(made.pours).toEqual(mixOf(SAMPHIRE, 'SAM-31', { quantity: q('80', 'g') }).pours);
  });

  it('are what the shelf is short of', () => {
    const toner = entry('toner ALU-C "Flake"', 'density 1 g/ml', 'lot L stock 100 g');
    // 22.60 of 100 parts are 18.08 g, of which the scale shows 18.0 g.
    expect(mixOf(SAMPHIRE + toner, 'SAM-31', { quantity: q('80', 'g') }).stock).toMatchObject([
      { toner: 'ALU-C', needed: '18.0', from: [{ lot: 'L', grams: '18.0', left: '82.0' }] },
    ]);
  });

  it('follow the strength of the lot only when asked, and say so', () => {
    const text =
      SAMPHIRE +
      entry(
        'toner BLK-1 "Black"',
        'lot OLD strength 80 % opened 2026-01-02',
        'lot NEW strength 50 % opened 2026-02-02',
      );
    const black = (asked: MixAsked) => mixOf(text, 'SAM-31', { quantity: q('1012.5', 'g'), ...asked });
    expect(black({}).strengths).toEqual([]);
    expect(black({}).strengthsLeftOut).toEqual([{ toner: 'BLK-1', lot: 'NEW', percent: '50' }]);
    const changed = black({ lotStrength: true });
    expect(changed.strengths).toEqual([{ toner: 'BLK-1', lot: 'NEW', percent: '50' }]);
    expect(changed.strengthsLeftOut).toEqual([]);
    // 2.50 instead of 1.25 of 101.25 parts.
    expect(changed.pours[2]!.grams).toBe('25.0');
  });
});

/** A liquid toner: density in g/ml, solids and water in % of weight. */
const liquid = (id: string, density: string, solids: string, ...more: string[]) =>
  entry(`toner ${id} "${id}"`, 'system S', `density ${density} g/ml`, `solids ${solids} % weight`, ...more);
const formula = (...lines: string[]) => entry('formula F "f"', 'system S', ...lines);
const eu = entry('book "b"', 'voc eu-2004-42 topcoat');

describe('VOC', () => {
  it('of a waterborne base with its reducer, less water', () => {
    const text =
      eu +
      entry('system S "s"', 'reducer R 15 % of paint by weight') +
      liquid('A', '1.03', '24', 'water 65 % weight') +
      liquid('R', '0.995', '0', 'water 95 % weight') +
      formula('toner A 100');
    const { voc } = mixOf(text, 'F', { quantity: q('100', 'g') });
    expect(voc).toMatchObject({
      regime: 'eu-2004-42',
      date: '2026-11-25',
      actual: 104.8,
      lessWater: 358.6,
      limit: 420,
      within: true,
      as: 'ready to spray',
    });
    const thin = text.replace('24 %', '20 %').replace('65 %', '66 %').replace('95 %', '92 %');
    expect(mixOf(thin, 'F', { quantity: q('100', 'g') }).voc).toMatchObject({
      actual: 135.5,
      lessWater: 471.8,
      within: false,
    });
  });

  it('of a two-pack clear hangs on what the 10 % are a share of', () => {
    const clear = (base: string) =>
      eu +
      entry('system S "s"', 'hardener H parts 1 to 2 of paint by volume', `reducer T 10 % of ${base} by volume`) +
      liquid('A', '0.98', '54') +
      liquid('H', '1.06', '70') +
      liquid('T', '0.87', '0') +
      formula('toner A 1');
    const asked = { quantity: q('200', 'ml') };
    expect(mixOf(clear('mix'), 'F', asked).voc).toMatchObject({ actual: 448.7, lessWater: 448.7, within: false });
    expect(mixOf(clear('paint'), 'F', asked).voc).toMatchObject({ actual: 435.5, within: false });
    const ready = mixOf(clear('mix'), 'F', asked).readyToSpray!;
    expect(ready.lines.map((line) => line.millilitres)).toEqual([100, 30]);
  });

  it('counts exempt solvents in the EU and not in the US', () => {
    const solvent = liquid('A', '0.95', '30', 'exempt 25 % weight density 0.79 g/ml');
    const of = (voc: string) =>
      mixOf(entry('book "b"', voc) + solvent + formula('toner A 1'), 'F', { quantity: q('100', 'g') }).voc;
    expect(of('voc eu-2004-42 topcoat')).toMatchObject({ lessWater: 665, figure: 'lessWater', within: false });
    expect(of('voc us-40-cfr-59 topcoat')).toMatchObject({
      actual: 427.5,
      lessWaterAndExempt: 611.3,
      limit: 600,
      within: false,
    });
  });

  it('counts a topcoat of several stages as one', () => {
    // Toners without solids of 1 g/ml and 620, 640 g/l of VOC; 40 CFR 59.104(a)(2).
    const stages = (coats: string[]) =>
      entry('book "b"', 'voc us-40-cfr-59 multi-stage-topcoat', 'clear 500 g/l') +
      liquid('B', '1', '38') +
      liquid('M', '1', '36') +
      formula(...coats);
    const of = (...coats: string[]) => mixOf(stages(coats), 'F', { quantity: q('100', 'g') }).voc;
    expect(of('toner B 1')).toMatchObject({ lessWaterAndExempt: 540, staged: 540 });
    expect(of('coat ground', 'toner B 1', 'coat mid', 'toner M 1').lessWaterAndExempt).toBe(565);
    // A base and its clear are one coating for the American topcoat, too: (620 + 2 x 500) / 3; alone the base is.
    const two = (clear: string) =>
      mixOf(stages(['toner B 1']).replace('multi-stage-topcoat', 'topcoat').replace('  clear 500 g/l\n', clear), 'F', {
        quantity: q('100', 'g'),
      }).voc;
    expect(two('  clear 500 g/l\n')).toMatchObject({ lessWaterAndExempt: 540, within: true });
    expect(two('')).toMatchObject({ lessWaterAndExempt: 620, within: false });
  });

  it('is held against a limit of the book, with its day', () => {
    const text =
      entry('book "b"', 'voc harbour topcoat', 'limit harbour topcoat 340 g/l less-water on 2026-11-20') +
      liquid('A', '1', '65') +
      formula('toner A 1');
    expect(mixOf(text, 'F', { quantity: q('1', 'kg') }).voc).toMatchObject({
      regime: 'harbour',
      date: '2026-11-20',
      limit: 340,
      lessWater: 350,
      within: false,
    });
  });

  it('is not known while a toner lacks a figure, and says which', () => {
    const text =
      eu +
      liquid('A', '1', '65', 'water 20 % weight') +
      entry('toner B "b"', 'density 1 g/ml') +
      formula('toner A 1', 'toner B 1', 'toner C 1');
    const sheet = mixOf(text, 'F', { quantity: q('90', 'g') });
    expect(sheet.voc).toMatchObject({
      actual: null,
      lessWater: null,
      within: null,
      missing: ['B: no solids, no water', 'C: no such toner in the book'],
    });
    expect(sheet.volume).toEqual({ millilitres: null, density: null, missing: ['C: no such toner in the book'] });
  });
});

describe('amounts', () => {
  const solids = (...more: string[]) =>
    entry('book "b"', 'transfer 65 %') +
    entry('system S "s"', 'film 15 um in 1 coats', ...more) +
    entry('toner A "a"', 'density 1.2 g/ml', 'solids 35 % volume') +
    formula('toner A 1');

  it('for an area: 1.5 m2 at 15 um, 35 % solids by volume and 65 % transfer are 98.90 ml', () => {
    const sheet = mixOf(solids(), 'F', { quantity: q('1.5', 'm2') });
    expect(sheet.volume.millilitres).toBe(98.9);
    // 98.901 ml x 1.2 g/ml
    expect(sheet.total).toBe('118.7');
  });

  it('for an area take as much undercoat as its own film asks for, else as much as of the colour, and say so', () => {
    const below = (...lines: string[]) =>
      solids() +
      '  undercoat SEAL grey N9\n' +
      entry('toner W "w"', 'density 1.5 g/ml', 'solids 50 % volume') +
      entry('undercoat SEAL "s"', 'grey N9 toner W 1', ...lines);
    const undercoat = (text: string, blend?: string) =>
      mixOf(text, 'F', { quantity: q('1.5', 'm2'), ...(blend ? { blend: rational(blend) } : {}) }).undercoat;
    // 1.5 x 20 / (0.50 x 0.65) = 92.308 ml at 1.5 g/ml; what is blended has no undercoat under it.
    const own = { weight: '138.5', spread: 'For 1.5 m2 at 20 um dry in 2 coats.' };
    expect(undercoat(below('film 20 um in 2 coats'))).toMatchObject(own);
    expect(undercoat(below('film 20 um in 2 coats'), '1')).toMatchObject(own);
    // By the data sheet of the whole: 1.5 x 20 / (0.60 x 0.65) = 76.923 ml at 1.4 g/ml.
    expect(undercoat(below('film 20 um', 'density 1.4 g/ml', 'solids 60 % volume'))?.weight).toBe('107.7');
    expect(undercoat(below())).toMatchObject({
      weight: '118.7',
      spread: expect.stringMatching(/^As much as of the colour: .*SEAL/),
    });
    expect(undercoat(below('film 20 um').replace('  solids 50 % volume\n', ''))?.spread).toContain('W: no solids');
    expect(mixOf(below('film 20 um'), 'F', { quantity: q('80', 'g') }).undercoat).toMatchObject({
      weight: '80.0',
      spread: null,
    });
  });

  it('for an area take as much of a coloured undercoat as its formula does by itself', () => {
    const text =
      solids('reducer R 25 % of paint by volume') +
      '  undercoat formula G\n' +
      entry('toner R "r"', 'density 0.9 g/ml', 'solids 0 % volume') +
      entry('toner B "b"', 'density 1.1 g/ml', 'solids 50 % volume') +
      entry('formula G "g"', 'system S', 'toner B 1');
    const area = { quantity: q('1.5', 'm2') };
    const { undercoat } = mixOf(text, 'F', area);
    expect(undercoat?.weight).toBe(mixOf(text, 'G', area).total);
    // 1.5 x 15 / (0.40 x 0.65) = 86.538 ml ready, of which 0.8 are paint at 1.1 g/ml.
    expect(undercoat).toMatchObject({ weight: '76.2', spread: 'For 1.5 m2, 15 um dry in 1 coat.' });
  });

  it('name the defaults that they rest on', () => {
    const text = solids().replace('  transfer 65 %\n', '').replace('  film 15 um in 1 coats\n', '');
    expect(mixOf(text, 'F', { quantity: q('1', 'm2') }).basis.join(' ')).toMatch(
      /15 um dry in 2 coats \(common practice.*60 %.*common practice/,
    );
  });

  it('are told in the unit asked for, with no more digits than a bench needs', () => {
    const text = liquid('A', '1.05', '30') + formula('toner A 3');
    expect(mixOf(text, 'F', { quantity: q('1', 'pt-US') }).basis[0]).toBe(
      '1 pt-US (473.18 ml) by the densities of the toners.',
    );
    expect(mixOf(solids(), 'F', { quantity: q('10', 'ft2') }).basis[0]).toMatch(/^10 ft2 \(0\.93 m2\), 15 um dry/);
  });

  it('for a volume fill it', () => {
    const sheet = mixOf(
      liquid('A', '1.05', '30') + liquid('B', '1.34', '40') + formula('toner A 3', 'toner B 1'),
      'F',
      { quantity: q('500', 'ml') },
    );
    // (3 + 1) / (3/1.05 + 1/1.34) x 500
    expect(sheet.total).toBe('555.0');
    expect(sheet.volume.millilitres).toBe(500);
  });

  it('ready to spray hold less paint', () => {
    const text =
      entry('system S "s"', 'reducer R 25 % of paint by weight') +
      liquid('A', '1', '30') +
      liquid('R', '1', '0') +
      formula('toner A 1', 'target weight 100 g as ready to spray');
    expect(mixOf(text, 'F').total).toBe('80.0');
    expect(mixOf(text, 'F').readyToSpray).toMatchObject({
      grams: '100.0',
      lines: [{ code: 'R', grams: '20.0', cumulative: '100.0' }],
    });
  });

  it('leave a percentage without its base open', () => {
    const text =
      entry('system S "s"', 'reducer R 10 %') + liquid('A', '1', '30') + liquid('R', '1', '0') + formula('toner A 1');
    const { readyToSpray, voc } = mixOf(eu + text, 'F', { quantity: q('100', 'g') });
    expect(readyToSpray).toMatchObject({ grams: null, lines: [{ grams: null }] });
    expect(readyToSpray!.notes).toEqual(['R: a percentage of what is not said.']);
    // What is sprayed is not known, so nothing is held against the limit.
    expect(voc).toMatchObject({ as: 'poured', limit: 420, within: null });
    expect(voc.notes[0]).toBe('How much S adds is not told in full, so its VOC ready to spray is not known.');
  });

  it('choose the reducer by the booth', () => {
    const text =
      entry(
        'system S "s"',
        'reducer COOL 10 % of mix by weight from 15 C to 25 C',
        'reducer WARM 10 % of mix by weight from 25 C to 35 C',
      ) +
      ['A', 'COOL', 'WARM'].map((id) => liquid(id, '1', '0')).join('') +
      formula('toner A 1');
    const at = (booth?: string) =>
      mixOf(text, 'F', { quantity: q('100', 'g'), ...(booth ? { booth: { temperature: rational(booth) } } : {}) })
        .readyToSpray!;
    expect(at('30').lines.map((line) => line.code)).toEqual(['WARM']);
    expect(at('12').lines).toEqual([]);
    expect(at('12').notes[0]).toContain('12 C');
    expect(at('12').notes[0]).toContain('No reducer');
    expect(at().notes[0]).toContain('was not said');
  });
});

describe('the reducer', () => {
  const text =
    entry(
      'system S "s"',
      'hardener H 10 % of paint by weight',
      'reducer DRY 10 % of mix by weight from 15 C to 30 C humidity 20 %RH to 60 %RH',
      'reducer DAMP 10 % of mix by weight from 15 C to 30 C humidity 60 %RH to 90 %RH',
      'reducer SLOW 10 % of mix by weight humidity 91 %RH to 100 %RH',
    ) +
    ['A', 'H', 'DRY', 'DAMP', 'SLOW'].map((id) => liquid(id, '1', '0')).join('') +
    formula('toner A 1');
  const at = (temperature?: string, humidity?: string) =>
    mixOf(text, 'F', {
      quantity: q('100', 'g'),
      booth: {
        ...(temperature ? { temperature: rational(temperature) } : {}),
        ...(humidity ? { humidity: rational(humidity) } : {}),
      },
    }).readyToSpray!;

  it('follows the humidity of the booth as well as its temperature, one of them at a time', () => {
    expect(at('20', '0.4').lines.map((line) => line.code)).toEqual(['H', 'DRY']);
    expect(at('20', '0.8').lines.map((line) => line.code)).toEqual(['H', 'DAMP']);
    expect(at('20', '0.8').notes).toEqual(['DAMP is made for a booth at 15 to 30 C and 60 to 90 %RH.']);
    expect(at('31', '0.95').lines.map((line) => line.code)).toEqual(['H', 'SLOW']);
    expect(at('31', '0.4').lines.map((line) => line.code)).toEqual(['H']);
    expect(at('31', '0.4').notes).toEqual([
      'No reducer of the book is made for a booth at 31 C and 40 %RH; none was added.',
    ]);
  });

  it('says what of the booth nobody told', () => {
    expect(at('20').notes[0]).toBe(
      'DRY is made for a booth at 15 to 30 C and 20 to 60 %RH; the humidity of yours was not said.',
    );
    expect(at(undefined, '0.7').lines.map((line) => line.code)).toEqual(['H', 'DAMP']);
    expect(at(undefined, '0.7').notes[0]).toContain('the temperature of yours was not said');
  });
});

describe('a formula of several coats', () => {
  const text =
    entry('book "b"', 'scale 0.1 g') +
    entry('scale FINE "Fine"', 'readability 0.01 g', 'capacity 130 g') +
    entry(
      'system S "s"',
      'hardener H parts 1 to 2 of paint by volume',
      'reducer R 10 % of mix by weight',
      'potlife 3 h',
    ) +
    liquid('A', '1', '30') +
    liquid('B', '2', '30') +
    liquid('H', '1', '60') +
    liquid('R', '1', '0') +
    formula('coat ground', 'toner A 60', 'coat mid coats 2', 'toner B 40');
  const sheet = mixOf(text, 'F', { quantity: q('100', 'g') });

  it('is a cup for each, with its own hardener and reducer by its own density', () => {
    // 60 g are 60 ml: 30 g of hardener, 9 g of reducer. 40 g at 2 g/ml are 20 ml: 10 g, 5 g.
    expect(
      sheet.coats.map(({ coat, weight, readyToSpray }) => [
        coat,
        weight,
        readyToSpray!.lines.map((line) => [line.grams, line.cumulative]),
      ]),
    ).toEqual([
      [
        'ground',
        '60.0',
        [
          ['30.0', '90.0'],
          ['9.0', '99.0'],
        ],
      ],
      [
        'mid',
        '40.0',
        [
          ['10.0', '50.0'],
          ['5.0', '55.0'],
        ],
      ],
    ]);
  });

  it('tells what the cups take together without a running figure', () => {
    expect(sheet.readyToSpray).toMatchObject({
      grams: '154.0',
      millilitres: 134,
      potLife: expect.stringContaining('3 h'),
    });
    expect(sheet.readyToSpray!.lines.map(({ grams, cumulative }) => [grams, cumulative])).toEqual([
      ['40.0', null],
      ['14.0', null],
    ]);
  });

  it('is too heavy for a scale by its heaviest cup, ready to spray', () => {
    const on = (grams: string) => mixOf(text, 'F', { quantity: q(grams, 'g'), scale: 'FINE' });
    // 0.6 x 131 g of ground grow by 99 / 60 to 129.7 g
    expect(on('131').scale).toBe('0.01 g');
    expect(() => on('132')).toThrow('FINE carries 130 g; this is 130.7 g without the cup. Make it in two cups.');
  });
});

describe('a leftover', () => {
  const WB = entry('system WB "w"', 'keeps 30 days', 'reducer R 10 % of paint by weight');
  const left =
    SAMPHIRE.replace('formula SAM-31 "Green"\n', 'formula SAM-31 "Green"\n  system WB\n') +
    WB +
    entry(
      'batch B-1 of SAM-31',
      'make 120 g',
      'mixed 2026-10-02T09:40',
      'poured GRN-2 49.4 g',
      'poured ALU-C scale 76.6 g',
      'poured BLK-1 scale 78.1 g',
      'poured BND-0 scale 120.0 g',
    );
  const at = Date.parse('2026-10-20T08:00Z');
  const using = (id: string, grams: string, of: string, more: object = {}, text = left) =>
    mixOf(text, id, { quantity: q(grams, 'g'), leftover: { batch: 'B-1', grams: rational(of), at }, ...more });

  it('is brought up to the formula on top of its own weight', () => {
    // 35 g of SAM-31 towards 80 g of the dark variant: 18.77, 9.41, 0.89 and 15.92 g are wanting; rounded by the
    // running column.
    const sheet = using('SAM-31/dark', '80', '35', { scale: 'FINE' });
    expect(sheet.leftover).toMatchObject({ batch: 'B-1', coat: 'top', grams: '35.00' });
    expect(sheet.pours.map((pour) => pour.grams)).toEqual(['18.77', '9.41', '0.90', '15.92']);
    expect(sheet.pours.map((pour) => pour.cumulative)).toEqual(['53.77', '63.18', '64.08', '80.00']);
    expect(sheet).toMatchObject({ weighable: '80.00', basis: [] });
  });

  it('makes the batch as large as all of it takes, and says so', () => {
    const sheet = using('SAM-31/dark', '20', '35');
    // 35 g hold 22.60 % of ALU-C, of which the dark variant has 21.50 of 99.30 parts: 36.5 g.
    expect(sheet).toMatchObject({ weighable: '36.6', leftover: { least: '36.53' } });
    expect(sheet.basis).toEqual([`All that is left of B-1 takes ${sheet.weighable} g, more than was asked for.`]);
    expect(sheet.pours.every((pour) => Number(pour.grams) >= 0)).toBe(true);
  });

  it('is neither paid for nor taken from the shelf again', () => {
    const text = `${left}${liquid('GRN-2', '1', '30', 'price 10 EUR/kg', 'lot L stock 100 g').replace('  system S\n', '')}`;
    // 18.77 g more are poured of it.
    const sheet = using('SAM-31/dark', '80', '35', {}, text);
    expect(sheet.cost.sums).toEqual([{ currency: 'EUR', amount: '0.19' }]);
    expect(sheet.stock[0]).toMatchObject({ toner: 'GRN-2', needed: '18.8' });
  });

  it('is refused as in the text of a batch', () => {
    const refused =
      (text: string, id = 'SAM-31/dark') =>
      () =>
        using(id, '80', '35', {}, text);
    expect(refused(left.replace('2026-10-02T', '2026-09-02T'))).toThrow('paint of WB keeps 30 days');
    expect(
      refused(
        left.replace('  make 120 g\n', '  make 120 g\n  poured HRD 1 g\n') + entry('toner HRD "h"', 'kind hardener'),
      ),
    ).toThrow('has hardener in it');
    expect(refused(`${left}${entry('system S "s"')}${formula('toner GRN-2 1')}`, 'F')).toThrow('the two do not mix');
    expect(refused(`${left}${entry('formula F "f"', 'system WB', 'toner GRN-2 1')}`, 'F')).toThrow(
      'B-1 holds ALU-C and BLK-1 and BND-0, which F does not.',
    );
    expect(() => using('SAM-31', '200', '121')).toThrow('B-1 held 120.0 g; 121.0 g of it cannot be left.');
    expect(() =>
      mixOf(left, 'SAM-31', { quantity: q('80', 'g'), leftover: { batch: 'B-9', grams: rational(1) } }),
    ).toThrow("There is no batch 'B-9'");
  });

  it('of one coat goes into the coat of that name', () => {
    const text =
      entry('formula F "f"', 'coat ground', 'toner A 1', 'toner B 1', 'coat mid', 'toner A 1', 'toner B 3') +
      entry('batch B-1 of F', 'coat mid', 'make 40 g', 'poured A 10 g', 'poured B 30 g');
    const sheet = using('F', '120', '20', {}, text);
    expect(sheet.leftover).toMatchObject({ coat: 'mid', grams: '20.0' });
    // 80 g of mid less 5 and 15 g
    expect(sheet.pours.map((pour) => [pour.coat, pour.grams])).toEqual([
      ['ground', '20.0'],
      ['ground', '20.0'],
      ['mid', '15.0'],
      ['mid', '45.0'],
    ]);
  });
});

it('costs by mass and by volume, and never adds two currencies', () => {
  const text =
    liquid('A', '2', '30', 'price 10 EUR/l') +
    liquid('B', '1', '30', 'price 3 GBP/kg') +
    liquid('C', '1', '30') +
    formula('toner A 1', 'toner B 1', 'toner C 1');
  const { cost } = mixOf(text, 'F', { quantity: q('3', 'kg') });
  expect(cost.sums).toEqual([
    { currency: 'EUR', amount: '5.00' },
    { currency: 'GBP', amount: '3.00' },
  ]);
  expect(cost.unpriced).toEqual(['C']);
});

it('takes a let-down for what is in it', () => {
  const text =
    liquid('A', '1.2', '60', 'price 10 EUR/kg') +
    liquid('B', '0.9', '40', 'price 2 EUR/kg') +
    entry('letdown A-25 "thin" of A', 'toner A 25', 'toner B 75') +
    formula('toner A-25 1');
  const sheet = mixOf(text, 'F', { quantity: q('100', 'g') });
  // 25 / 1.2 + 75 / 0.9
  expect(sheet.volume.millilitres).toBe(104.2);
  expect(sheet.cost.sums).toEqual([{ currency: 'EUR', amount: '0.40' }]);
  // 10 + 45 g leave of 104.1667 ml
  expect(sheet.voc.actual).toBe(528);
});

describe('the undercoat', () => {
  const toners = (more: string[] = []) =>
    liquid('SEAL-W', '1.3', '60', 'price 10 EUR/kg', ...more) +
    liquid('SEAL-K', '1.3', '60', 'price 30 EUR/kg', ...more);
  const book = (voc: string, seal: string[] = [], more: string[] = []) =>
    entry('book "b"', 'scale 0.1 g', voc) +
    entry('system PR "Primer"', 'reducer RED 20 % of paint by weight') +
    toners(more).replaceAll('  system S\n', '') +
    entry('toner RED "Reducer"', 'density 1 g/ml', 'solids 0 % weight', 'price 5 EUR/kg') +
    entry('toner GRN-2 "Green"', 'density 1 g/ml', 'solids 60 % weight', 'price 20 EUR/kg') +
    entry('undercoat SEAL "Sealer"', 'system PR', 'grey N9.5 toner SEAL-W 100', 'grey N2 toner SEAL-K 100', ...seal) +
    entry('formula A "A"', 'undercoat SEAL grey N9.5', 'toner GRN-2 1');
  const found = (text: string) => mixOf(text, 'A', { quantity: q('80', 'g') });

  it('is made ready by its own system', () => {
    expect(found(book('voc eu-2004-42 topcoat')).undercoat?.readyToSpray?.lines).toMatchObject([
      { code: 'RED', role: 'reducer', grams: '16.0', cumulative: '96.0' },
    ]);
  });

  it('has a VOC of its own, against the category of undercoats', () => {
    // 32 g of the paint and 16 g of reducer leave 80 / 1.3 + 16 ml
    const eu = found(book('voc eu-2004-42 topcoat'));
    expect(eu.undercoat!.voc).toMatchObject({
      regime: 'eu-2004-42',
      category: 'surfacer',
      limit: 540,
      lessWater: 619,
      within: false,
      as: 'ready to spray',
    });
    expect(eu.voc).toMatchObject({ category: 'topcoat', limit: 420, as: 'poured' });
    expect(found(book('voc us-40-cfr-59 topcoat')).undercoat!.voc).toMatchObject({ category: 'sealer', limit: 550 });
    expect(found(book('voc eu-2004-42 topcoat undercoat wash-primer')).undercoat!.voc).toMatchObject({
      category: 'wash-primer',
      limit: 780,
      within: true,
    });
    const own = 'voc harbour colour\n  limit harbour colour 340 g/l less-water on 2026-11-20';
    expect(found(book(own)).undercoat!.voc).toMatchObject({
      regime: 'harbour',
      category: null,
      limit: null,
      within: null,
    });
  });

  it('goes by the figures of its own data sheet where it states them', () => {
    const stated = found(book('voc eu-2004-42 topcoat', ['voc 500 g/l', 'price 4 EUR/kg']));
    // 500 x 80 / 1.3 / 1000 + 16 g in 77.54 ml
    expect(stated.undercoat!.voc).toMatchObject({ lessWater: 603.2 });
    expect(stated.undercoat!.cost!.sums).toEqual([{ currency: 'EUR', amount: '0.32' }]);
    expect(stated.undercoat!.pours).toMatchObject([{ toner: 'SEAL-W', grams: '80.0' }]);
  });

  it('has its cost, and the job costs both with what is added', () => {
    const sheet = found(book('voc eu-2004-42 topcoat', [], ['lot L stock 500 g']));
    expect(sheet.undercoat!.cost!.sums).toEqual([{ currency: 'EUR', amount: '0.80' }]);
    expect(sheet.cost.sums).toEqual([{ currency: 'EUR', amount: '1.60' }]);
    // 0.80 + 16 g of reducer at 5 EUR/kg + 1.60
    expect(sheet.jobCost.sums).toEqual([{ currency: 'EUR', amount: '2.48' }]);
    expect(sheet.stock).toMatchObject([{ toner: 'SEAL-W', needed: '80.0', from: [{ left: '420.0' }] }]);
  });

  it('brings its caution for the hardener', () => {
    const text = book('voc eu-2004-42 topcoat').replace('reducer RED 20 %', 'hardener RED 20 %');
    expect(found(text).cautions[0]!.id).toBe('isocyanate');
  });
});
