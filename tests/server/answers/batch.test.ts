/** Batches, live. Figures from the design's sample (SAM-31, SAM-31/dark) and by hand from the formulas shown. */
import { describe, expect, it } from 'vitest';
import { showBatch } from '../../../server/answers/batch.ts';
import { subject } from '../../../server/answers/subject.ts';
import { batchText } from '../../../server/report/text/batch.ts';
import { bookOf } from '../book/marked.ts';
import { entry } from './entry.ts';

const SAMPHIRE =
  entry('book "b"', 'scale 0.1 g', 'timezone Europe/Dublin') +
  entry('system WB "Waterborne"', 'keeps 30 days') +
  entry(
    'formula SAM-31 "Green"',
    'system WB',
    'toner GRN-2 41.20',
    'toner ALU-C 22.60',
    'toner BLK-1 1.25',
    'toner BND-0 34.95',
  ) +
  entry('variant SAM-31/dark "Dark"', 'toner BLK-1 +0.40', 'toner ALU-C -1.10') +
  ['GRN-2', 'ALU-C', 'BLK-1', 'BND-0']
    .map((id) => entry(`toner ${id} "${id}"`, 'system WB', 'density 1 g/ml'))
    .join('');

const batch = (...lines: string[]) => entry('batch B of SAM-31/dark', 'make 80 g', ...lines);
const shown = (text: string, id = 'B') => {
  const book = bookOf(SAMPHIRE + text);
  return showBatch(book, subject(book, id, ['batch']));
};

describe('a batch', () => {
  it('begins with the first toner and follows the sheet', () => {
    expect(shown(batch())).toMatchObject({
      poured: [],
      inCup: '0.0',
      next: { toner: 'GRN-2', grams: '33.2', cumulative: '33.2' },
      choices: [],
    });
    expect(shown(batch('poured GRN-2 33.2 g')).next).toEqual({ toner: 'ALU-C', grams: '17.3', cumulative: '50.5' });
    const running = shown(batch('poured GRN-2 scale 33.2 g', 'poured ALU-C scale 50.5 g'));
    expect(running.poured.map((one) => one.grams)).toEqual(['33.2', '17.3']);
    expect(running.mode).toBe('running');
    expect(running.next).toEqual({ toner: 'BLK-1', grams: '1.3', cumulative: '51.8' });
    const done = shown(
      batch(
        ...['GRN-2 33.2', 'ALU-C 50.5', 'BLK-1 51.8', 'BND-0 80.0'].map(
          (pour) => `poured ${pour.replace(' ', ' scale ')} g`,
        ),
      ),
    );
    expect(done).toMatchObject({ next: null, inCup: '80.0' });
  });

  it('is rescued with ALU-C 18.0 after 33.2: k = 1.03919, total 83.13 g', () => {
    const over = shown(batch('poured GRN-2 33.2 g', 'poured ALU-C 18.0 g'));
    expect(over.growth).toBeCloseTo(1.03919, 5);
    const kinds = over.choices.map(({ kind, total }) => `${kind} ${total}`);
    expect(kinds).toEqual(['leave 80.7', 'exact 83.1', 'draw off 80.0', 'start again 80.0']);
    const exact = over.choices.find((one) => one.kind === 'exact')!;
    expect(exact).toMatchObject({ exact: '83.13', predicted: null, fits: true });
    expect(exact.additions.map((one) => `${one.toner} ${one.cumulative}`)).toEqual([
      'GRN-2 52.5',
      'BLK-1 53.9',
      'BND-0 83.1',
    ]);
    // Leaving it: 80.7 = 33.2 + 18.0 + 1.3 + 28.2.
    expect(over.next).toEqual({ toner: 'BLK-1', grams: '1.3', cumulative: '52.5' });
    expect(over.coming.map((one) => one.cumulative)).toEqual(['52.5', '80.7']);
  });

  it('rests once the larger batch is asked for', () => {
    const text = SAMPHIRE + batch('poured GRN-2 33.2 g', 'poured ALU-C 18.0 g').replace('80 g', '83.1 g');
    const book = bookOf(text);
    const answer = showBatch(book, subject(book, 'B', ['batch']));
    expect(answer.choices).toEqual([]);
    expect(answer.next).toEqual({ toner: 'GRN-2', grams: '1.3', cumulative: '52.5' });
  });

  it('counts what was taken out of the stirred cup', () => {
    const answer = shown(batch('poured GRN-2 33.2 g', 'poured ALU-C 18.0 g', 'removed 1.9 g'));
    expect(answer).toMatchObject({
      inCup: '49.3',
      shows: '49.3',
      choices: [],
      next: { toner: 'GRN-2', cumulative: '50.5' },
    });
  });

  it('knows when the cup is too small for more', () => {
    const answer = shown(batch('cup 82 ml', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g'));
    // What does not fit comes last: it needs a larger cup first.
    expect(answer.choices.map(({ kind, fits }) => `${kind} ${fits}`)).toEqual([
      'leave true',
      'draw off true',
      'start again true',
      'exact false',
    ]);
  });

  it('keeps tints out of the sheet but in the cup', () => {
    const answer = shown(batch('poured GRN-2 33.2 g', 'tinted BLK-1 0.3 g'));
    expect(answer).toMatchObject({
      inCup: '33.5',
      next: { toner: 'ALU-C', grams: '17.3', cumulative: '50.8' },
      choices: [],
    });
    expect(answer.poured[1]).toMatchObject({ kind: 'tint', planned: null, off: null });
  });

  it('says of a pour how far it is off, whether the toner was tinted with or not', () => {
    const { poured } = shown(batch('poured GRN-2 33.2 g', 'poured BLK-1 1.2 g', 'tinted BLK-1 0.3 g'));
    expect(poured.map(({ toner, planned, off }) => [toner, planned, off])).toEqual([
      ['GRN-2', '33.2', '0.0'],
      ['BLK-1', '1.3', '-0.1'],
      ['BLK-1', null, null],
    ]);
  });

  it('says what evaporated when the cup lost more than the scale can explain', () => {
    // Three readings of up to half a step each: 0.15 g (pour tared, cup twice).
    expect(shown(batch('poured GRN-2 33.2 g', 'weighed 33.1 g')).evaporated).toBeNull();
    expect(shown(batch('poured GRN-2 33.2 g', 'weighed 32.7 g')).evaporated).toBe('0.5');
  });

  it('that is closed shows the same whatever becomes of the formula', () => {
    const lines = ['mixed 2026-10-02', 'poured GRN-2 33.2 g', 'poured ALU-C 18.0 g', 'closed 2026-10-02T10:00 by RO'];
    const kept = ['toner GRN-2 41.20', 'toner ALU-C 21.50', 'toner BLK-1 1.65', 'toner BND-0 34.95'];
    for (const text of [batch(...lines), batch(...lines, ...kept)]) {
      const before = shown(text);
      const book = bookOf(SAMPHIRE.replace('ALU-C 22.60', 'ALU-C 30.00') + text);
      expect({ ...showBatch(book, subject(book, 'B', ['batch'])), undercoat: null }).toEqual({
        ...before,
        undercoat: null,
      });
      expect(before.next).toBeNull();
    }
    expect(shown(batch(...lines, ...kept)).poured[1]!.off).toBe('0.7');
  });

  it('that is closed keeps the step of its scale', () => {
    const lines = ['poured GRN-2 33.20 g', 'closed 2026-10-02T10:00 by RO', 'toner GRN-2 1', 'readability 0.01 g'];
    expect(shown(batch(...lines))).toMatchObject({ scale: '0.01 g', inCup: '33.20' });
  });

  it('of a formula of several coats has to say which', () => {
    const pearl = entry(
      'formula P "p"',
      'coat ground',
      'toner BLK-1 1',
      'toner BND-0 9',
      'coat mid',
      'toner ALU-C 1',
      'toner BND-0 19',
    );
    expect(() => shown(pearl + entry('batch P-1 of P', 'make 100 g'), 'P-1')).toThrow("'coat ground'");
    expect(shown(pearl + entry('batch P-1 of P', 'make 100 g', 'coat mid'), 'P-1').next).toMatchObject({
      toner: 'ALU-C',
      grams: '5.0',
    });
  });

  it('may be asked for by volume', () => {
    expect(shown(batch().replace('80 g', '0.5 l')).make).toBe('500.0');
  });

  it('is usable until its system says', () => {
    expect(shown(batch('mixed 2026-10-02T10:00')).useBy).toBe('2026-11-01T09:00'); // the clocks went back
    const hard = entry('toner HRD "h"', 'kind hardener', 'density 1 g/ml');
    const system = SAMPHIRE.replace('keeps 30 days', 'keeps 30 days\n  potlife 4 h');
    const book = bookOf(system + hard + batch('mixed 2026-10-02T10:00', 'poured HRD 1 g'));
    expect(showBatch(book, subject(book, 'B', ['batch']))).toMatchObject({ hardener: true, useBy: '2026-10-02T14:00' });
  });
});

describe('hardener in the cup', () => {
  const TWO_PACK =
    entry('book "b"', 'scale 0.1 g') +
    entry('system SB "Two-pack"', 'potlife 4 h at 20 C', 'hardener HRD parts 1 to 2 of paint by weight') +
    entry('toner HRD "h"', 'kind hardener') +
    entry('toner A "a"') +
    entry('toner C "c"') +
    entry('formula F "f"', 'system SB', 'toner A 50', 'toner C 50');
  const over = (...lines: string[]) =>
    bookOf(
      TWO_PACK +
        entry('batch B of F', 'make 100 g', 'mixed 2026-10-02T08:00Z', ...lines, 'poured A 56 g', 'poured HRD 10 g'),
    );
  const at = (book: ReturnType<typeof over>, time?: string) =>
    showBatch(book, subject(book, 'B', ['batch']), time === undefined ? undefined : Date.parse(`2026-10-02T${time}Z`));
  const late = (answer: ReturnType<typeof at>) => answer.choices.flatMap(({ kind, late }) => (late ? [kind] : []));

  it('leaves time for every way out while the pot life is long', () => {
    expect(late(at(over(), '09:00'))).toEqual([]);
    expect(late(at(over()))).toEqual([]); // 08:00, the last hour of the record
  });

  it('refuses what its pours have no time for, and places it last', () => {
    // Leaving it takes one pour (C 50 g), the exact recovery too (A is over, C 56 g): 1 min, and none is left.
    const answer = at(over(), '11:59:30');
    expect(late(answer)).toEqual(['leave', 'exact', 'draw off']);
    expect(answer.choices[0]!.kind).toBe('start again');
    expect(answer.choices[1]!.late).toBe('its pours take about 1 min, 0 min are left of the pot life');
  });

  it('past its pot life only goes to the waste', () => {
    const answer = at(over(), '12:30');
    expect(answer.choices[1]!.late).toBe('the pot life is over, what is in the cup sets');
    expect(answer.choices.filter((one) => one.late === null).map((one) => one.kind)).toEqual(['start again']);
  });

  it('has less time in a warm booth, told as a warning beside the stated time', () => {
    expect(at(over())).toMatchObject({ useBy: '2026-10-02T12:00', useByWarm: null });
    expect(at(over('booth 30 C 45 %RH'))).toMatchObject({
      useBy: '2026-10-02T12:00',
      useByWarm: { booth: '30', stated: '20', when: '2026-10-02T10:00' }, // half of 4 h
    });
    expect(at(over('booth 12 C'))).toMatchObject({ useBy: '2026-10-02T12:00', useByWarm: null });
  });

  it('is no part of the colour', () => {
    const done = bookOf(
      TWO_PACK + entry('batch B of F', 'make 100 g', 'poured A 50 g', 'poured C 50 g', 'poured HRD 50 g'),
    );
    expect(at(done)).toMatchObject({ next: null, inCup: '150.0', choices: [] });
  });
});

describe('a leftover', () => {
  const old = entry(
    'batch A of SAM-31',
    'make 120 g',
    'mixed 2026-10-02',
    ...['GRN-2 49.4', 'ALU-C 76.6', 'BLK-1 78.1', 'BND-0 120.0'].map(
      (pour) => `poured ${pour.replace(' ', ' scale ')} g`,
    ),
  );

  it('of 35 g of SAM-31 needs 18.77, 9.41, 0.89 and 15.92 towards 80 g of the dark variant', () => {
    const answer = shown(old + batch('from leftover A 35 g'));
    expect(answer.leftover!.needs!.map((one) => `${one.toner} ${one.exact}`)).toEqual([
      'GRN-2 18.77',
      'ALU-C 9.41',
      'BLK-1 0.89',
      'BND-0 15.92',
    ]);
    expect(answer).toMatchObject({
      inCup: '35.0',
      next: { toner: 'GRN-2', grams: '18.8', cumulative: '53.8' },
      choices: [],
    });
  });

  it('names the smallest batch that uses all of it', () => {
    // All of 78 g of SAM-31: its flake is 22.60 / 100 of it, the dark one takes 21.50 / 99.30: k = 0.226 x 99.30 / 21.50.
    expect(shown(old + batch('from leftover A 78 g')).leftover!.least).toBe('81.42');
  });

  it('is what was really poured when that was not the sheet', () => {
    const off = old.replace('49.4 g', '55.0 g');
    expect(shown(off + batch('from leftover A 35 g')).leftover!.needs![0]!.exact).not.toBe('18.77');
  });

  it('that leads back to its own batch does not hang', () => {
    expect(shown(batch('from leftover B 35 g')).inCup).toBe('0.0');
  });
});

describe('cost and stock of a batch', () => {
  const toner = (id: string, ...lines: string[]) =>
    entry(`toner ${id} "${id}"`, 'system WB', 'density 1 g/ml', ...lines);
  const shop = (...last: string[]) =>
    bookOf(
      SAMPHIRE.slice(0, SAMPHIRE.indexOf('toner GRN-2 "')) +
        toner('GRN-2', 'price 10 EUR/kg', 'lot A-1 stock 30 g', 'lot A-2 stock 500 g') +
        toner('ALU-C', 'price 20 EUR/kg', 'lot B-1 stock 18 g') +
        toner('BLK-1', 'price 30 EUR/kg') +
        toner('BND-0', 'lot D-1 stock 100 g') +
        entry('batch A of SAM-31', 'make 120 g', 'poured GRN-2 49.4 g', 'closed 2026-10-02T10:05', 'lot GRN-2 A-2') +
        last.join(''),
    );
  const money = (id: string, ...last: string[]) => {
    const book = shop(...last);
    return showBatch(book, subject(book, id, ['batch']));
  };
  const open = (...lines: string[]) => money('B', batch('poured GRN-2 33.2 g', 'poured ALU-C 17.3 g', ...lines));

  it('costs what was poured, and takes what is still to come from the shelf, too', () => {
    // By hand: 33.2 g at 10 EUR/kg and 17.3 g at 20 EUR/kg.
    expect(open().cost).toMatchObject({ sums: [{ currency: 'EUR', amount: '0.68' }], unpriced: [] });
    expect(open().stock).toEqual([
      {
        ...{ toner: 'GRN-2', needed: '33.2', short: null, mixesLots: true },
        from: [
          { lot: 'A-1', grams: '30.0', left: '0.0' },
          { lot: 'A-2', grams: '3.2', left: '496.8' },
        ],
      },
      {
        ...{ toner: 'ALU-C', needed: '17.3', short: null, mixesLots: false },
        from: [{ lot: 'B-1', grams: '17.3', left: '0.7' }],
      },
      {
        ...{ toner: 'BND-0', needed: '28.2', short: null, mixesLots: false },
        from: [{ lot: 'D-1', grams: '28.2', left: '71.8' }],
      },
    ]);
    expect(batchText(open())).toContain('Cost of what was poured: 0.68 EUR.');
    expect(batchText(open())).toContain('Stock: GRN-2 comes from more than one lot (A-1 30.0 g, A-2 3.2 g)');
    expect(batchText(open('tinted ALU-C 2 g'))).toContain('Stock: ALU-C runs out, 1.3 of 19.3 g are missing.');
  });

  it('takes from the lot that the batch names, and has paid for what is left of another batch', () => {
    expect(open('lot GRN-2 A-2').stock[0]).toMatchObject({ from: [{ lot: 'A-2', grams: '33.2', left: '466.8' }] });
    const closed = money('A');
    expect(closed.stock).toMatchObject([{ toner: 'GRN-2', needed: '49.4', from: [{ lot: 'A-2', grams: '49.4' }] }]);
    expect(batchText(closed)).toContain('Taken from the shelf: GRN-2 A-2 49.4 g.');
    expect(batchText(closed)).not.toContain('Stock after it');
    const onto = money('B', batch('from leftover A 20 g'));
    expect(onto.cost).toMatchObject({ sums: [], unpriced: [] });
    expect(onto.stock[0]).toMatchObject({ toner: 'GRN-2', needed: '13.2' });
  });

  it('is a lower bound where a price is missing', () => {
    const { cost } = open('poured BLK-1 1.3 g', 'poured BND-0 28.2 g');
    expect(cost).toMatchObject({ sums: [{ currency: 'EUR', amount: '0.72' }], unpriced: ['BND-0'] });
    expect(batchText(shown(batch('poured GRN-2 33.2 g')))).toContain('Cost of what was poured: not known');
  });
});
