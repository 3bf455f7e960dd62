/** Figures as they are shown: never with more digits than their inputs support. */

/** Rounded for JSON, so that shapes stay stable across machines: colour values to a ten-thousandth. */
export const rounded = (value: number, places = 4): number => Number(value.toFixed(places));

/** A colour difference at the bench: one decimal. */
export const benchDifference = (value: number): string => value.toFixed(1);

/** Beyond this a ± says only that nothing is known. */
const WIDEST = 20;
/** A ± is never printed as 0.0. */
const LEAST_SAID = 0.1;

/** A ± of a predicted colour at the bench, first taken to the hundredth to which JSON gives it, so that every view ends at one tenth. */
export const plusMinusFigure = (value: number): string =>
  value > WIDEST ? `over ${WIDEST}` : benchDifference(Math.max(rounded(value, 2), LEAST_SAID));

/** L*, a*, b* to so many decimals, none of them as -0. */
export const labFigures = (lab: readonly number[], places: number): string[] =>
  lab.map((value) => value.toFixed(places).replace(/^-(?=[0.]*$)/, ''));
