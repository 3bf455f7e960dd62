import { expect, it } from 'vitest';
import { fitToners } from '../../../server/paint/fit.ts';
import { adviseDrawdowns } from '../../../server/paint/fit-advice.ts';
import { uncertaintyModel } from '../../../server/paint/uncertainty.ts';
import { count, lights, surface } from '../../published/acrylics-data.ts';
import { Random, simulatedCards, simulatedFormula, simulatedToners } from './simulated-book.ts';

it('the drawdown advised is one of the toner that the book knows least and uses', () => {
  const random = new Random(31);
  const toners = simulatedToners(random, 10);
  const all = simulatedCards(random, toners, 70);
  const rare = all.filter((card) => card.components.some(({ toner }) => toner === 6));
  const cards = all.filter((card) => !rare.includes(card) || card === rare[0]);
  const fit = fitToners({ toners, cards, count });
  const model = uncertaintyModel(fit, cards, lights[0]!);
  const formulas = Array.from({ length: 25 }, () => simulatedFormula(random, toners));
  const advice = adviseDrawdowns(fit, model, formulas, surface, lights[0]!);
  expect(advice[0]!.toner).toBe('T6');
  expect(advice[0]!.after).toBeLessThan(0.8 * advice[0]!.before);
  expect(adviseDrawdowns(fit, model, [], surface, lights[0]!)).toEqual([]);
});
