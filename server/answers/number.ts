/** Figures as they are shown: never with more digits than their inputs support. */

/** Rounded for JSON, so that shapes stay stable across machines: colour values to a ten-thousandth. */
export const rounded = (value: number, places = 4): number => Number(value.toFixed(places));

/** A colour difference at the bench: one decimal. */
export const benchDifference = (value: number): string => value.toFixed(1);
