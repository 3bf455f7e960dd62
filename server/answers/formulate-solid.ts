/** Formulas for a solid colour, by the search over all sets of toners. */
import { angleAt, labOf } from '../book/colours.ts';
import { shopOf } from '../book/known.ts';
import { partsOfShares } from '../book/optics/amounts.ts';
import { readWith } from '../book/optics/below.ts';
import { GRID, onGrid } from '../book/optics/grid.ts';
import { bestHiding, coatsOver } from '../book/optics/hiding.ts';
import { solidOptics } from '../book/optics/optics.ts';
import type { SolidPaint } from '../book/optics/predicted.ts';
import { viewingText } from '../colour/viewing.ts';
import { type OpticsFit, thicknessScale } from '../paint/fit.ts';
import type { CardFilm } from '../paint/fit-model.ts';
import { formulate, type Solution as PaintSolution } from '../paint/formulate.ts';
import type { SprayedFilm } from '../paint/formulate-target.ts';
import { lightFor } from '../paint/light.ts';
import type { Component } from '../paint/mixture.ts';
import { predictedReadings } from '../paint/predict.ts';
import { internalReflectance, type Surface } from '../paint/surface.ts';
import { plusMinus } from '../paint/uncertainty.ts';
import { costOfParts, type Found, partsShown, priceOfShare, type Solution, type Task } from './formulate.ts';
import { vocOfParts } from './formulate-limits.ts';
import { rounded } from './number.ts';

/** In the units of the fit, from inside the paint. */
const sprayedFilm = (fit: OpticsFit, surface: Surface, { thickness, under }: CardFilm): SprayedFilm => ({
  thickness: under.map((_, w) => thickness * thicknessScale(fit, w)),
  under: under.map((value) => internalReflectance(surface, value)),
});

export function formulateSolid(task: Task): Found {
  const { book, colours, learned } = task;
  const optics = solidOptics(learned);
  if (!optics) throw new RangeError('the recorded fit cannot be read: run pourbook fit --write');
  const { viewings, saunderson } = shopOf(book);
  const geometry = task.geometries[0]!;
  const angle = angleAt(colours, geometry)!;
  const spectrum = angle.spectrum && onGrid(angle.spectrum);
  const lab = labOf(angle, viewings[0]!, colours.bandpass);
  const surface: Surface = {
    k1: saunderson.k1,
    k2: saunderson.k2,
    specular: geometry.startsWith('d') ? saunderson.specular : 'excluded',
    ...optics.fit.reading,
  };
  const lights = viewings.map((viewing) => lightFor(viewingText(viewing), GRID.start, GRID.step, GRID.count));
  const index = (code: string): number => optics.index.get(code)!;
  const base: Component[] = task.binder ? [{ toner: index(task.binder.code), share: task.binder.share }] : [];
  const room = 1 - (task.binder?.share ?? 0);
  const { judge } = task;
  const partsOf = (components: readonly Component[]): Map<string, number> =>
    partsOfShares(book, new Map(components.map(({ toner, share }) => [optics.fit.toners[toner]!.code, share])));
  const film =
    task.below && task.film !== undefined ? { thickness: task.film, under: readWith(task.below, surface) } : undefined;
  const found = formulate({
    reading: spectrum ? { reflectance: Float64Array.from(spectrum) } : { ...(lab ? { lab } : {}) },
    toners: optics.fit.toners,
    surface,
    lights,
    tolerance: task.tolerance,
    candidates: task.candidates.map(index),
    must: task.must.map(index),
    limits: new Map(
      [...task.limits].map(([code, share]) => [index(code), { least: 0, most: Math.min(share / room, 1) }]),
    ),
    most: task.most,
    base,
    ...(film ? { film: sprayedFilm(optics.fit, surface, film) } : {}),
    ...(judge ? { allows: (components) => judge.allows(partsOf(components)) } : {}),
    prices: optics.fit.toners.map(({ code }) => priceOfShare(book, code)),
    plusMinus: (components, reflectance) => {
      const { variance } = predictedReadings(optics.fit, {
        components,
        surface,
        ...(film ? { film } : {}),
      });
      return plusMinus(optics.model, lights[0]!, reflectance, variance, optics.fit.noise).dE00;
    },
  });
  const paintOf = (solution: PaintSolution): SolidPaint => ({
    side: 'solid',
    learned,
    state: task.state,
    undercoat: undefined,
    optics,
    components: solution.components,
    geometry,
    surface,
  });
  const shown = (solution: PaintSolution): Solution => {
    const parts = partsOf(solution.components);
    const paint = paintOf(solution);
    const hides = bestHiding(book, paint);
    const over = task.below && coatsOver(book, paint, task.below);
    const light = solution.dE00.indexOf(solution.worst);
    return {
      toners: partsShown(parts),
      dE00: rounded(solution.rms, 3),
      worst: { geometry, illuminant: viewings[light]!.illuminant, dE00: rounded(solution.worst, 3) },
      plusMinus: rounded(solution.plusMinus, 2),
      metamerism: solution.metamerism === undefined ? null : rounded(solution.metamerism, 3),
      cost: costOfParts(book, parts),
      voc: vocOfParts(book, task.system, parts).value,
      coats: hides?.coats == null ? null : rounded(hides.coats, 1),
      bestGrey: hides ? { munsellValue: rounded(hides.munsellValue, 1), lightness: rounded(hides.lightness, 1) } : null,
      coatsOver: over == null ? null : rounded(over, 1),
    };
  };
  return {
    solutions: found.solutions.map(shown),
    reachable: found.reachable,
    unique: found.unique,
    equals: found.equals,
    undetermined: (found.undetermined ?? []).map(({ light, apart }) => ({ light, apart: rounded(apart, 2) })),
    notes:
      angle.spectrum && !spectrum
        ? ['its spectrum does not reach from 400 to 700 nm, so that only its Lab was used']
        : [],
  };
}
