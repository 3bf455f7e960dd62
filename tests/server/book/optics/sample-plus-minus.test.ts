/** The cards of the sample book come from a simulation of rays (tests/simulator), which shares nothing with the model that is learned. */
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { formulaIn } from '../../../../server/book/known.ts';
import { learn } from '../../../../server/book/optics/learn.ts';
import { putFits } from '../../../../server/book/optics/optics.ts';
import { predictedIn } from '../../../../server/book/optics/predicted.ts';
import { samplesOf, systemsLearned } from '../../../../server/book/optics/samples.ts';
import { loadBook } from '../../../../server/command/load.ts';

it('the ± of the sample book’s solid colours, traces of black in white among them, stays near its left-out cards', async () => {
  const book = await loadBook(fileURLToPath(new URL('../../../../samples/book', import.meta.url)));
  const solid = systemsLearned(book).map((system) => learn(samplesOf(book, system, 'solid')));
  putFits(book, solid);
  const said = [...book.ofKind('formula'), ...book.ofKind('variant')].flatMap((cell) => {
    const found = predictedIn(book, cell);
    if ('none' in found || found.side !== 'solid') return [];
    return [{ id: formulaIn(book, cell).id, plusMinus: Math.max(...found.colours.map((one) => one.plusMinus)) }];
  });
  const tints = solid.flatMap(({ toners }) => toners.flatMap(({ plusMinus }) => plusMinus ?? []));
  const ninetieth = Math.max(...solid.map(({ leftOut }) => leftOut!.ninetieth));
  console.info(
    `9 of 10 left out within ${ninetieth.toFixed(1)}; formulas ${said.map(({ id, plusMinus }) => `${id} ${plusMinus.toFixed(1)}`).join(', ')}; tints ${tints.map((one) => one.toFixed(1)).join(' ')}`,
  );
  // a toner is judged in the white that it is mixed with: the sealer's black in the sealer's white
  expect(Math.max(...tints)).toBeLessThan(2 * ninetieth);
  expect(said.length).toBeGreaterThan(10);
  for (const { id, plusMinus } of said) expect(plusMinus, id).toBeLessThan(2 * ninetieth);
  // Both systems were read by one ray simulation: each learns from its own pigments alone how its light turns back.
  const [first, second] = solid.map(({ fit }) => ('solid' in fit ? fit.solid.reading.directional : Number.NaN));
  expect(first).toBeLessThan(0.7);
  expect(Math.abs(first! - second!)).toBeLessThan(0.1);
  for (const { system, leftOut } of solid) expect(leftOut!.median, system).toBeLessThan(0.8);
  const middle = said.map(({ plusMinus }) => plusMinus).toSorted((a, b) => a - b)[said.length >> 1]!;
  expect(middle).toBeLessThan(ninetieth);
  expect(middle).toBeGreaterThan(0.2 * ninetieth);
});
