/**
 * Times the effect model against the plain way of its diffuse part: npx tsx tests/bench/effect.ts
 * The alternative adds 512 thin layers one by one instead of doubling; same layers, same answer.
 */
import { fitEffectToners, modelOf } from '../../server/paint/effect-fit.ts';
import {
  effectReflectance,
  lambertian,
  layerLight,
  layerOver,
  type StreamRates,
} from '../../server/paint/effect-model.ts';
import { leaveCardsOut } from '../../server/paint/effect-uncertainty.ts';
import { bands, blackUndercoat, geometries, kinds, paintsOf, readCards, weights } from '../published/effect-paints.ts';

const times = (runs: number, work: () => void): number => {
  work();
  const start = performance.now();
  for (let i = 0; i < runs; i++) work();
  return (performance.now() - start) / runs;
};

/** Layer by layer from the undercoat up, by invariant embedding to the first order. */
function layerByLayer(rates: StreamRates, thickness: number, undercoat: number): number {
  let mirror = 0;
  let mixed = undercoat;
  let diffuse = undercoat;
  const h = thickness / 512;
  for (let i = 0; i < 512; i++) {
    const { mirrorLoss: ac, mirrorBack: bc, diffuseLoss: ad, diffuseBack: bd, toDown, toUp } = rates;
    const m = mirror + h * (bc - 2 * ac * mirror + bc * mirror * mirror);
    const x =
      mixed +
      h *
        (toUp +
          toDown * (diffuse + mirror) +
          toUp * mirror * diffuse -
          (ac + ad) * mixed +
          (bc * mirror + bd * diffuse) * mixed);
    diffuse += h * (bd - 2 * ad * diffuse + bd * diffuse * diffuse);
    mirror = m;
    mixed = x;
  }
  return mixed;
}

const rates: StreamRates = { mirrorLoss: 11, mirrorBack: 5, diffuseLoss: 14, diffuseBack: 9, toDown: 3, toUp: 1 };
const doubled = times(20000, () => layerOver(layerLight(rates, 1), lambertian(0.4)));
const stepped = times(20000, () => layerByLayer(rates, 1, 0.4));
console.log(`diffuse part of one angle and band: doubling takes 1/${(stepped / doubled).toFixed(1)} of layer by layer`);

const cards = readCards(paintsOf('cards.csv'), 1);
let fit = fitEffectToners(kinds, bands, geometries, cards);
const fitting = times(1, () => {
  fit = fitEffectToners(kinds, bands, geometries, cards);
});
const leaving = times(1, () => void leaveCardsOut(fit, cards, weights));
const film = {
  toners: [0, 1, 5, 6, 8].map((t) => fit.toners[t]!),
  shares: [0.1, 0.2, 0.01, 0.02, 0.05],
  thickness: 1,
  undercoat: blackUndercoat,
};
const model = modelOf(fit);
const forward = times(2000, () => effectReflectance(model, film));
console.log(`one formula, 6 angles x 31 bands: ${forward.toFixed(3)} ms`);
console.log(
  `fit of 63 cards, 12 toners: ${fitting.toFixed(0)} ms, ${(fitting / forward).toFixed(0)} formulas; ${fit.steps} steps`,
);
console.log(`all cards left out, linearised: ${(leaving / fitting).toFixed(2)} of a fit, against 63 for refits`);
