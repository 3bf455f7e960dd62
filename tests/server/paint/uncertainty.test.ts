import { describe, expect, it } from 'vitest';
import { fitToners } from '../../../server/paint/fit.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import { predict, unlearned } from '../../../server/paint/predict.ts';
import { uncertaintyModel } from '../../../server/paint/uncertainty.ts';
import { count, lights, surface } from '../../published/acrylics-data.ts';
import { Random, reading, simulatedCards, simulatedFormula, simulatedToners } from './simulated-book.ts';

const main = lights[0]!;

/** How many noisy cards of new formulas fall within the ± of a book's predictions, and how many were tried. */
function covered(seed: number, cards: number, formulas: number): { within: number; tried: number } {
  const random = new Random(seed);
  const toners = simulatedToners(random, 18);
  const sprayed = simulatedCards(random, toners, cards);
  const fit = fitToners({ toners, cards: sprayed, count });
  const model = uncertaintyModel(fit, sprayed, main);
  let within = 0;
  let tried = 0;
  for (let i = 0; i < formulas; i++) {
    const components = simulatedFormula(random, toners);
    if (unlearned(fit, components).length > 0) continue;
    const { lab, plusMinus } = predict(fit, { components, surface }, [main], model).colours[0]!;
    tried++;
    if (deltaE00(lab, labUnder(main, reading(toners, components, random))) <= plusMinus.dE00) within++;
  }
  return { within, tried };
}

describe('the ±', () => {
  it('covers 85 to 95 % of new cards, pooled over simulated books', () => {
    const books = [
      [11, 50],
      [12, 60],
      [13, 70],
      [14, 80],
      [15, 90],
      [16, 110],
    ].map(([seed, cards]) => covered(seed!, cards!, 150));
    const within = books.reduce((sum, book) => sum + book.within, 0);
    const tried = books.reduce((sum, book) => sum + book.tried, 0);
    const single = books.map((book) => (book.within / book.tried).toFixed(2)).join(' ');
    console.info(`90 % intervals cover ${((100 * within) / tried).toFixed(1)} % of ${tried} cards (books: ${single})`);
    expect(tried).toBeGreaterThan(700);
    expect(within / tried).toBeGreaterThan(0.85);
    expect(within / tried).toBeLessThan(0.95);
  });

  it('says on what it rests', () => {
    const random = new Random(3);
    const toners = simulatedToners(random, 8);
    const cards = simulatedCards(random, toners, 60);
    const mixtures = cards.filter((card) => card.components.length >= 3);
    const ladder = cards.map((card) => ({ ...card, components: card.components.slice(0, 2) }));
    const basis = (used: typeof cards): string =>
      uncertaintyModel(fitToners({ toners, cards: used, count }), used, main).basis;
    expect(basis(mixtures.slice(0, 45))).toBe('left out');
    expect(basis(mixtures.slice(0, 20))).toBe('residuals');
    expect(basis(ladder)).toBe('assumed');
  });

  it('is wider for a toner that few cards hold', () => {
    const random = new Random(21);
    const toners = simulatedToners(random, 12);
    const all = simulatedCards(random, toners, 70);
    const rare = all.filter((card) => card.components.some(({ toner }) => toner === 4));
    const cards = all.filter((card) => !rare.includes(card) || card === rare[0]);
    const width = (used: typeof cards): number => {
      const fit = fitToners({ toners, cards: used, count });
      const components = [
        { toner: 4, share: 0.5 },
        { toner: 0, share: 0.5 },
      ];
      return predict(fit, { components, surface }, [main], uncertaintyModel(fit, used, main)).colours[0]!.plusMinus
        .dE00;
    };
    expect(width(cards)).toBeGreaterThan(1.5 * width(all));
  });
});
