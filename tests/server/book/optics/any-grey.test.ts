import { expect, it } from 'vitest';
import { type FormulaAnswer, show } from '../../../../server/answers/show.ts';
import { subject } from '../../../../server/answers/subject.ts';
import { Book } from '../../../../server/book/book.ts';
import { learnBook } from '../../../../server/book/optics/optics.ts';
import { deltaE00, labUnder, lightFor } from '../../../../server/paint/light.ts';
import { luminanceOfLightness } from '../../../../server/paint/munsell.ts';
import { formulaText } from '../../../../server/report/text/show-formula.ts';
import { FILM_SHOP, parts, reads, shop } from './film-shop.ts';

const COAT = 8; // um, as its films were sprayed
const RED = { T5: 40, T0: 8, T2: 62 };
const WHITE = { T0: 60, T2: 40 };
const formulas = `
formula RED "Red"
  system SB
  undercoat SEAL grey N5
${parts(RED)}
formula WHITE "White"
  system SB
  undercoat SEAL grey N9
${parts(WHITE)}
`;

function shown(text: string, id: string): FormulaAnswer {
  const book = new Book();
  book.setFile('file:///shop.pour', text);
  book.loaded.set(true);
  learnBook(book);
  return show(book, subject(book, id)) as FormulaAnswer;
}

const light = lightFor('D65/10', 400, 10, 31);
const flat = (value: number) => new Float64Array(31).fill(value);
const grey = (lightness: number) => flat(luminanceOfLightness(lightness) / 100);

it('tells the coats from which on the real films over black and over white look alike', () => {
  const { coatsOverAny } = shown(FILM_SHOP + formulas, 'RED');
  const apart = (coats: number) =>
    deltaE00(labUnder(light, reads(RED, coats * COAT, grey(25))), labUnder(light, reads(RED, coats * COAT, grey(95))));
  expect(apart(coatsOverAny! * 1.1)).toBeLessThan(1);
  expect(apart(coatsOverAny! / 1.1)).toBeGreaterThan(1);
});

it('tells the contrast ratio of one coat of a light paint only, and of a film that is known only', () => {
  const luminance = (reading: Float64Array) => ((labUnder(light, reading)[0] + 16) / 116) ** 3;
  const white = shown(FILM_SHOP + formulas, 'WHITE');
  const ratio = luminance(reads(WHITE, COAT, flat(0))) / luminance(reads(WHITE, COAT, flat(0.8)));
  expect(white.contrastRatio!).toBeCloseTo(ratio, 2);
  expect(formulaText(white)).toMatch(
    /Over black and white alike, predicted: from about [\d.]+ coats? on\. Contrast ratio of one coat: 0\.\d\d\./,
  );
  expect(shown(FILM_SHOP + formulas, 'RED').contrastRatio).toBeNull();
  const relative = `${shop.text}\n${FILM_SHOP.slice(FILM_SHOP.indexOf('undercoat SEAL'))}${formulas}`;
  expect(shown(relative, 'WHITE').contrastRatio).toBeNull();
});
