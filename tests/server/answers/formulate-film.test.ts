import { describe, expect, it } from 'vitest';
import { type FormulateAsked, formulate, type Solution } from '../../../server/answers/formulate.ts';
import { subject } from '../../../server/answers/subject.ts';
import { Book } from '../../../server/book/book.ts';
import { learnBook } from '../../../server/book/optics/optics.ts';
import { deltaE00, labUnder, lightFor } from '../../../server/paint/light.ts';
import { luminanceOfLightness } from '../../../server/paint/munsell.ts';
import { formulateText } from '../../../server/report/text/formulate.ts';
import { FILM_SHOP, parts, reads, shop } from '../book/optics/film-shop.ts';
import { readingText } from '../book/optics/simulated-shop.ts';

/** A clear red, in two coats of 8 um over L* 51 by far not hiding. */
const WANTED = { T5: 35, T0: 3, T2: 62 };
const GROUND = { T0: 50, T5: 20, T2: 30 };
const COAT = 8;
const flat = (lightness: number) => new Float64Array(31).fill(luminanceOfLightness(lightness) / 100);
const opaque = (paint: Readonly<Record<string, number>>) => reads(paint, Number.POSITIVE_INFINITY, flat(0));

const text = `${FILM_SHOP}
formula PNK-1 "Ground"
  system SB
  undercoat SEAL grey N9.5
${parts(GROUND)}

formula LOST "Of a stranger"
  system SB
  toner NEW 1

${readingText('THIN', reads(WANTED, 2 * COAT, flat(51)))}
${readingText('GROUNDED', reads(WANTED, 2 * COAT, opaque(GROUND)))}
${readingText('THICK', opaque(GROUND))}
reading LAB "Lab only"
  lab 45/0 ${labUnder(lightFor('D65/10', 400, 10, 31), reads(WANTED, 2 * COAT, flat(51)))
    .map((one) => one.toFixed(2))
    .join(' ')}
`;

function bookWith(content: string): Book {
  const made = new Book();
  made.setFile('file:///shop.pour', content);
  made.loaded.set(true);
  learnBook(made);
  return made;
}

const book = bookWith(text);
const ask = (reading: string, asked: FormulateAsked = {}) =>
  formulate(book, subject(book, reading), { most: 4, ...asked });
const lights = ['D65/10', 'A/10', 'F11/10'].map((name) => lightFor(name, 400, 10, 31));

/** How far the simulated paint is really off when a solution is sprayed so. */
function reallyOff({ toners }: Solution, um: number, under: Float64Array, wanted: Float64Array): number {
  const paint = Object.fromEntries(toners.map(({ code, parts: part }) => [code, part]));
  const read = reads(paint, um, under);
  const off = lights.map((light) => deltaE00(labUnder(light, wanted), labUnder(light, read)));
  return Math.sqrt(off.reduce((sum, one) => sum + one * one, 0) / off.length);
}

describe('formulas for a film that does not hide', () => {
  const over = { undercoat: 'L* 51', coats: 2 };

  it('match in the coats that are sprayed, where those for a hiding film do not', () => {
    const wanted = reads(WANTED, 2 * COAT, flat(51));
    const answer = ask('THIN', over);
    expect(answer.over).toEqual({ undercoat: 'L* 51', coats: 2, film: 16 });
    expect(answer.reachable).toBe(true);
    const [best] = answer.solutions;
    expect(best!.dE00).toBeLessThan(0.5);
    expect(reallyOff(best!, 2 * COAT, flat(51), wanted)).toBeLessThan(Math.max(1, best!.plusMinus));
    const hiding = ask('THIN').solutions[0]!;
    expect(reallyOff(hiding, 2 * COAT, flat(51), wanted)).toBeGreaterThan(1.5);
  });

  it('tell in how many coats they hide it and the best grey, and their ±', () => {
    for (const one of ask('THIN', over).solutions) {
      expect(one.coatsOver === null || one.coatsOver >= one.coats! - 0.1).toBe(true);
      expect(one.plusMinus).toBeGreaterThan(0);
    }
    const told = formulateText(ask('THIN', over));
    expect(told).toContain('Formulas for THIN in SB in 2 coats (16 um) over L* 51, predicted, not sprayed.');
    expect(told).toMatch(/over L\* 51 (about [\d.]+ coats? to hide|no number of coats hides); best about/);
    expect(told).not.toMatch(/undefined|NaN/);
  });

  it('may be asked for by the film, with the same answer', () => {
    expect(ask('THIN', { undercoat: 'L* 51', film: 16 })).toEqual(ask('THIN', over));
  });

  it('go over a coloured undercoat', () => {
    const answer = ask('GROUNDED', { undercoat: 'PNK-1', coats: 2 });
    expect(answer.over!.undercoat).toBe('formula PNK-1');
    const off = reallyOff(answer.solutions[0]!, 2 * COAT, opaque(GROUND), reads(WANTED, 2 * COAT, opaque(GROUND)));
    expect(off).toBeLessThan(Math.max(1, answer.solutions[0]!.plusMinus));
  });

  it('in many coats come to those that hide', () => {
    const thick = ask('THICK', { undercoat: 'N5', coats: 20 }).solutions.map(({ dE00 }) => dE00);
    const hiding = ask('THICK').solutions.map(({ dE00 }) => dE00);
    expect(Math.min(...thick)).toBeLessThan(Math.min(...hiding) + 0.05);
  });

  it('keep to what is demanded, forbidden and limited', () => {
    const { solutions } = ask('THIN', { ...over, must: ['T4'], mustNot: ['T5'], limits: new Map([['T0', 1]]) });
    expect(solutions.length).toBeGreaterThan(0);
    for (const { toners } of solutions) {
      const used = new Map(toners.map((one) => [one.code, one.parts]));
      expect(used.has('T4')).toBe(true);
      expect(used.has('T5')).toBe(false);
      expect(used.get('T0') ?? 0).toBeLessThanOrEqual(1.01);
    }
  });

  it('are found for a reading of Lab only, which does not determine them', () => {
    const answer = ask('LAB', over);
    expect(answer.reachable).toBe(true);
    expect(answer.undetermined.map(({ light }) => light)).toEqual(['A/10', 'F11/10']);
  });

  it('need something below, of which the colour is known', () => {
    expect(() => ask('THIN', { coats: 2 })).toThrow('say what, for example --undercoat N5');
    expect(() => ask('THIN', { undercoat: 'N12', coats: 2 })).toThrow('There is no grey N12');
    expect(() => ask('THIN', { undercoat: 'NOPE' })).toThrow("There is no formula 'NOPE' to spray on");
    expect(() => ask('THIN', { undercoat: 'LOST' })).toThrow(
      'The colour of LOST is not known: NEW is not in this book',
    );
  });

  it('say that a coat is a guess while no film of known thickness was read, and then know no um', () => {
    const relative = bookWith(`${shop.text}\n${readingText('R', opaque(WANTED))}`);
    const answer = formulate(relative, subject(relative, 'R'), over);
    expect(answer.over!.film).toBeNull();
    expect(answer.notes.join()).toContain('what one coat covers is a guess');
    expect(() => formulate(relative, subject(relative, 'R'), { undercoat: 'N5', film: 16 })).toThrow(
      'say --coats instead',
    );
  });

  it('without coats tell only in how many they hide it', () => {
    const plain = ask('THICK');
    const told = ask('THICK', { undercoat: 'N5' });
    expect(told.solutions.map(({ toners }) => toners)).toEqual(plain.solutions.map(({ toners }) => toners));
    expect(told.over).toEqual({ undercoat: 'N5', coats: null, film: null });
    expect(plain.over).toBeNull();
  });
});
