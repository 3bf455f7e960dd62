import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { predictedHints } from '../../../../server/answers/predicted-hints.ts';
import { sheet } from '../../../../server/answers/sheet.ts';
import { type FormulaAnswer, show } from '../../../../server/answers/show.ts';
import { subject } from '../../../../server/answers/subject.ts';
import { undercoatsInOrder } from '../../../../server/answers/undercoat-sheet.ts';
import { Book } from '../../../../server/book/book.ts';
import { findingsIn, findingsOfFile } from '../../../../server/book/findings.ts';
import { hidingIn, settleHiding } from '../../../../server/book/optics/hiding.ts';
import { fitsOf, learnBook, putFits } from '../../../../server/book/optics/optics.ts';
import { predictedIn } from '../../../../server/book/optics/predicted.ts';
import { deltaE00, labUnder, lightFor } from '../../../../server/paint/light.ts';
import { sheetCsv } from '../../../../server/report/csv/sheet.ts';
import { sheetHtml } from '../../../../server/report/html/sheet.ts';
import { cardOf } from '../../../../server/report/markdown/card.ts';
import { mixText } from '../../../../server/report/text/mix.ts';
import { formulaText } from '../../../../server/report/text/show-formula.ts';
import { FILM_SHOP, parts, reads } from './film-shop.ts';

const URI = 'file:///shop.pour';
const TOP = { T5: 40, T0: 2, T2: 70 };
const GROUND = { T0: 50, T5: 20, T2: 30 };
const text = `${FILM_SHOP}
formula PNK-1 "Ground"
  system SB
  undercoat SEAL grey N9.5
  target weight 100 g
${parts(GROUND)}

formula RED-1 "Over its ground"
  system SB
  undercoat formula PNK-1
  target weight 100 g
${parts(TOP)}

formula RED-2 "On itself, poured once more"
  system SB
  undercoat formula RED-1
  target weight 100 g
${parts(TOP)}

formula RED-3 "Two coats"
  system SB
  undercoat formula PNK-1
  target weight 100 g
  coat top coats 2
${parts(TOP)}

formula RED-4 "Over black"
  system SB
  undercoat formula BLK
  target weight 100 g
${parts(TOP)}

formula BLK "Black"
  system SB
  undercoat SEAL grey N2
  target weight 100 g
  toner T1 100
`;

function bookWith(content: string): Book {
  const book = new Book();
  book.setFile(URI, content);
  book.loaded.set(true);
  learnBook(book);
  return book;
}

const book = bookWith(text);
const cellOf = (id: string) => book.find('formula', id)!;
const shown = (id: string) => show(book, subject(book, id)) as FormulaAnswer;
const light = lightFor('D65/10', 400, 10, 31);
const opaque = (parts: Readonly<Record<string, number>>) =>
  reads(parts, Number.POSITIVE_INFINITY, new Float64Array(31));

describe('a coloured undercoat', () => {
  it('is hidden at once by the same colour', () => {
    expect(shown('RED-2').namedGrey).toMatchObject({ formula: 'RED-1', coats: 0 });
  });

  it('needs as many coats as the real films over the real ground', () => {
    const { namedGrey } = shown('RED-1');
    const ground = opaque(GROUND);
    const hidden = labUnder(light, opaque(TOP));
    const off = (coats: number) => deltaE00(hidden, labUnder(light, reads(TOP, coats * 8, ground)));
    expect(namedGrey!.coats!).toBeGreaterThan(0.5);
    // one coat of the cards is 8 um; the constants come from noisy cards
    expect(off(namedGrey!.coats! * 1.15)).toBeLessThan(1);
    expect(off(namedGrey!.coats! / 1.15)).toBeGreaterThan(1);
    expect(namedGrey!.lightness).toBeCloseTo(labUnder(light, ground)[0], 0);
  });

  it('shows through a film of the coats that the formula says', () => {
    const found = predictedIn(book, cellOf('RED-3'));
    if ('none' in found) throw new Error(found.none);
    expect(found.basis).toBe('in 2 coats over formula PNK-1');
    const really = labUnder(light, reads(TOP, 16, opaque(GROUND)));
    const [main] = found.colours;
    expect(deltaE00(main!.lab, really)).toBeLessThan(Math.max(main!.plusMinus, 0.5));
    const hides = predictedIn(book, cellOf('RED-1'));
    if ('none' in hides) throw new Error(hides.none);
    expect(hides.basis).toBe('when it hides');
    expect(deltaE00(main!.lab, hides.colours[0]!.lab)).toBeGreaterThan(1);
  });

  it('is held against the best grey, and told where it costs a coat', () => {
    const { namedGrey, bestGrey } = shown('RED-4');
    expect(namedGrey!.moreCoats!).toBeGreaterThanOrEqual(1);
    expect(bestGrey).not.toHaveProperty('undercoat');
    settleHiding(book, cellOf('RED-4'));
    const costly = findingsIn(book, cellOf('RED-4')).find(({ code }) => code === 'undercoat-costly')!;
    expect(costly.problem).toContain('Over formula BLK the colour needs about');
    expect(costly.remedy).toContain(`Consider an undercoat of grey N${bestGrey!.munsellValue}`);
    expect(costly.fixes).toBeUndefined();
    const told = formulaText(shown('RED-4'));
    expect(told).toContain('Hides over formula BLK (L* ');
    expect(told).toContain('That undercoat costs ');
    settleHiding(book, cellOf('RED-1'));
    expect(predictedHints(book, cellOf('RED-1')).at(-1)!.text).toMatch(
      /^~[\d.]+ coats, best grey N[\d.]+ ~[\d.]+ predicted$/,
    );
  });

  it('is poured before the colour, and what it goes on before it', () => {
    const answer = sheet(book, cellOf('RED-1'), {});
    const order = undercoatsInOrder(answer.undercoat);
    expect(
      order.map(({ undercoat, coloured, pours }) => [undercoat, coloured, pours.map(({ toner }) => toner)]),
    ).toEqual([
      ['SEAL', false, ['T0']],
      ['PNK-1', true, ['T0', 'T5', 'T2']],
    ]);
    expect(order[1]!.pours.map(({ grams }) => grams)).toEqual(['50.0', '20.0', '30.0']);
    expect(mixText(answer)).toMatch(
      /Undercoat first: SEAL grey N9.5[\s\S]*Undercoat next: formula PNK-1, 100.0 g, a coloured undercoat:[\s\S]*Colour, 100.0 g/,
    );
    expect(sheetCsv(answer)).toContain('undercoat,PNK-1,T5');
    const html = sheetHtml(answer);
    expect(html).toContain('<h2>2. Undercoat: formula PNK-1</h2>');
    expect(html).toContain('<h2>3. Colour');
    expect(cardOf(book, cellOf('RED-1'))).toContain('Undercoat next: **formula PNK-1**: T0 50.0 g');
    for (const one of [mixText(answer), html]) expect(one).not.toMatch(/undefined|null|NaN/);
  });

  it('follows a change of its formula, and only that', () => {
    const edited = bookWith(text);
    const before = hidingIn(edited, edited.find('formula', 'RED-1')!);
    edited.setFile(URI, text.replace('toner T0 50', 'toner T0 5'));
    const after = hidingIn(edited, edited.find('formula', 'RED-1')!);
    if ('none' in before || 'none' in after) throw new Error('not predicted');
    expect(after.named!.lightness).toBeLessThan(before.named!.lightness - 3);
    expect(after.best).toEqual(before.best);
  });

  it('is seen as the instrument of the standard reads, with the mirror reflection or without', () => {
    const sphere = (line: string) =>
      bookWith(
        `${text.replace('  illuminants D65/10 A/10 F11/10\n', `  illuminants D65/10 A/10 F11/10\n  saunderson k1 0.04 k2 0.60 specular ${line}\n`).replaceAll('  undercoat formula RED-1\n', '  undercoat formula RED-1\n  standard STD\n')}
reading STD "By a sphere"
  spectrum d/8 400..700/10 ${Array(31).fill('0.3000').join(' ')}
`,
      );
    for (const line of ['included', 'excluded']) {
      const made = sphere(line);
      const found = hidingIn(made, made.find('formula', 'RED-2')!);
      if ('none' in found) throw new Error(found.none);
      expect(found.named!.coats).toBe(0);
    }
  });

  it('of which nothing is known leaves the colour as it is when it hides', () => {
    const unknown = bookWith(text.replace('toner T0 50\n  toner T5 20', 'toner NEW 20\n  toner T5 20'));
    const answer = show(unknown, subject(unknown, 'RED-1')) as FormulaAnswer;
    expect(answer.namedGrey).toBeNull();
    expect(answer.predicted.length).toBeGreaterThan(0);
    expect(formulaText(answer)).toContain('Nothing is predicted of coats over formula PNK-1: NEW is not in this book.');
    const film = predictedIn(unknown, unknown.find('formula', 'RED-3')!);
    if ('none' in film) throw new Error(film.none);
    expect(film.basis).toBe('when it hides');
  });
});

describe('undercoats that lead round in a ring', () => {
  const ring = `${text}
formula A-1 "On its own variant"
  system SB
  undercoat formula A-1/b
  target weight 100 g
${parts(TOP)}
variant A-1/b "Takes the undercoat over"
  toner T0 +1
formula A-2 "Above the ring"
  system SB
  undercoat formula A-1
  target weight 100 g
${parts(TOP)}
formula A-3 "On itself"
  system SB
  undercoat formula A-3
  target weight 100 g
  coat top coats 2
${parts(TOP)}
`;
  const round = bookWith(ring);

  it.each(['A-1', 'A-1/b', 'A-2', 'A-3'])(
    'leave %s predicted as it hides, and its sheet says why there are no pours',
    (id) => {
      const answer = show(round, subject(round, id)) as FormulaAnswer;
      expect(answer.namedGrey).toBeNull();
      expect(answer.bestGrey).not.toBeNull();
      expect(answer.predictedNote).toBe('when it hides');
      const poured = sheet(round, round.find('formula', id)!, {});
      expect(poured.undercoat!.pours).toEqual([]);
      expect(mixText(poured)).toContain('Its undercoats lead round in a ring: ');
    },
  );

  it('are a finding where the line stands', () => {
    const found = findingsOfFile(round, URI).filter(({ code }) => code === 'undercoat-ring');
    expect(found.map(({ problem }) => problem)).toEqual([
      'The undercoats lead round in a ring: A-1, A-1/b, A-1/b.',
      'The undercoats lead round in a ring: A-2, A-1, A-1/b, A-1/b.',
      'A-3 cannot be its own undercoat.',
    ]);
  });

  it('say the same whichever formula is asked first', () => {
    const named = (asked: readonly string[]) => {
      const fresh = bookWith(ring);
      const told = new Map(asked.map((id) => [id, JSON.stringify(show(fresh, subject(fresh, id)))]));
      return [...told].sort();
    };
    const ids = ['A-1', 'A-1/b', 'A-2', 'A-3', 'RED-1'];
    expect(named([...ids].reverse())).toEqual(named(ids));
  });
});

it('after any row of edits says the same as a book that was opened so', () => {
  const ids = ['PNK-1', 'RED-1', 'RED-2', 'RED-3'];
  const unders = ['SEAL grey N5', ...ids.map((id) => `formula ${id}`)];
  const written = (chosen: readonly number[]) =>
    ids.reduce(
      (all, id, n) => all.replace(new RegExp(`(formula ${id} [\\s\\S]*?undercoat ).*`), `$1${unders[chosen[n]!]}`),
      text,
    );
  const told = (of: Book) =>
    JSON.stringify(ids.map((id) => [hidingIn(of, of.find('formula', id)!), predictedIn(of, of.find('formula', id)!)]));
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat(3), fc.nat(unders.length - 1)), { minLength: 2, maxLength: 6 }),
      fc.array(fc.nat(3), { maxLength: 3 }),
      (edits, asked) => {
        const chosen = [0, 1, 2, 1];
        const edited = new Book();
        putFits(edited, fitsOf(book));
        edited.loaded.set(true);
        for (const [which, under] of edits) {
          chosen[which] = under;
          edited.setFile(URI, written(chosen));
          for (const n of asked) hidingIn(edited, edited.find('formula', ids[n]!)!);
        }
        const fresh = new Book();
        putFits(fresh, fitsOf(book));
        fresh.setFile(URI, written(chosen));
        fresh.loaded.set(true);
        expect(told(edited)).toBe(told(fresh));
      },
    ),
    { numRuns: 12 },
  );
});
