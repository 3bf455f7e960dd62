import { describe, expect, it } from 'vitest';
import type { Lab } from '../../../server/colour/lab.ts';
import { fitToners } from '../../../server/paint/fit.ts';
import { deltaE00, labUnder } from '../../../server/paint/light.ts';
import type { Component } from '../../../server/paint/mixture.ts';
import { predict, unlearned } from '../../../server/paint/predict.ts';
import { colourShift } from '../../../server/paint/shift.ts';
import { uncertaintyModel } from '../../../server/paint/uncertainty.ts';
import { count, lights, surface } from '../../published/acrylics-data.ts';
import { Random, reading, simulatedCards, simulatedFormula, simulatedToners } from './simulated-book.ts';

const main = lights[0]!;

/** The same formula with more or less of one toner, as a revision is. */
function revised(random: Random, formula: readonly Component[]): Component[] {
  const changed = random.below(formula.length);
  const factor = 1 + (0.05 + 0.25 * random.uniform()) * (random.uniform() < 0.5 ? -1 : 1);
  const parts = formula.map((each, i) => ({ ...each, share: each.share * (i === changed ? factor : 1) }));
  const total = parts.reduce((sum, { share }) => sum + share, 0);
  return parts.map((each) => ({ ...each, share: each.share / total }));
}

function simulated(seed: number, cards: number) {
  const random = new Random(seed);
  const toners = simulatedToners(random, 18);
  const sprayed = simulatedCards(random, toners, cards);
  const fit = fitToners({ toners, cards: sprayed, count });
  return { random, toners, fit, model: uncertaintyModel(fit, sprayed, main) };
}

describe('the ± of a shift', () => {
  it('holds the true shift 9 times of 10, pooled over simulated books, and is far smaller than that of either colour', () => {
    let [tried, within] = [0, 0];
    const narrower: number[] = [];
    for (const [seed, cards] of [
      [31, 50],
      [32, 65],
      [33, 80],
      [34, 100],
    ] as const) {
      const { random, toners, fit, model } = simulated(seed, cards);
      for (let i = 0; i < 150; i++) {
        const before = simulatedFormula(random, toners);
        if (unlearned(fit, before).length > 0) continue;
        const after = revised(random, before);
        const said = colourShift(fit, model, { components: before, surface }, { components: after, surface }, main);
        const [was, is] = [before, after].map((components) => labUnder(main, reading(toners, components)));
        // Where the new colour would be by the true shift, from where the old one is predicted.
        const truly = said.before.map((value, at) => value + is![at]! - was![at]!) as unknown as Lab;
        tried++;
        if (deltaE00(said.after, truly) <= said.plusMinus) within++;
        const own = predict(fit, { components: after, surface }, [main], model).colours[0]!.plusMinus.dE00;
        narrower.push(said.plusMinus / own);
      }
    }
    narrower.sort((a, b) => a - b);
    console.info(
      `90 % intervals hold ${((100 * within) / tried).toFixed(1)} % of ${tried} shifts; ± of a shift is ${narrower[tried >> 1]!.toFixed(2)} of that of a colour (median)`,
    );
    expect(tried).toBeGreaterThan(400);
    expect(within / tried).toBeGreaterThan(0.85);
    expect(within / tried).toBeLessThan(0.99);
    expect(narrower[tried >> 1]).toBeLessThan(0.5);
  });

  it('is nothing from a mixture to itself, and grows with the step', () => {
    const { random, toners, fit, model } = simulated(35, 70);
    const known = () => {
      for (;;) {
        const components = simulatedFormula(random, toners);
        if (unlearned(fit, components).length === 0) return components;
      }
    };
    const [components, other] = [known(), known()];
    const sprayed = { components, surface };
    expect(colourShift(fit, model, sprayed, sprayed, main)).toMatchObject({ dE00: 0, plusMinus: 0 });
    const towards = (part: number) => ({
      components: [
        ...components.map((each) => ({ ...each, share: each.share * (1 - part) })),
        ...other.map((each) => ({ ...each, share: each.share * part })),
      ],
      surface,
    });
    const steps = [0.01, 0.05, 0.2].map((part) => colourShift(fit, model, sprayed, towards(part), main).plusMinus);
    expect(steps[0]).toBeGreaterThan(0);
    expect(steps[1]).toBeGreaterThan(steps[0]!);
    expect(steps[2]).toBeGreaterThan(steps[1]!);
  });
});
