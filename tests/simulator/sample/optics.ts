import { type TonerOptics, wavelengths } from '../film.ts';

/**
 * What the invented toners of Saltmarsh Coachworks do to light, per share of the dry film and 15 um of it.
 * The truth behind the sample book's cards: nothing of it stands in the book, and no model of the product reads it.
 */
type Shape = (nm: number) => number;

const hump =
  (centre: number, width: number, height: number): Shape =>
  (nm) =>
    height * Math.exp(-(((nm - centre) / width) ** 2));
/** Absorbs below `edge` and lets longer waves through. */
const below =
  (edge: number, width: number, height: number): Shape =>
  (nm) =>
    height / (1 + Math.exp((nm - edge) / width));
const even =
  (height: number, slope = 0): Shape =>
  (nm) =>
    height * (1 + (slope * (550 - nm)) / 150);

const spectrum = (...shapes: Shape[]) =>
  Float64Array.from(wavelengths, (nm) => shapes.reduce((sum, shape) => sum + shape(nm), 0));

const pigment = (scattering: number, disturbance: number, ...shapes: Shape[]): TonerOptics => ({
  kind: 'pigment',
  absorption: spectrum(...shapes),
  scattering,
  disturbance,
});

const metal = (rate: number, sigma: number, edge: number, bright: number): TonerOptics => ({
  kind: 'flake',
  rate,
  sigma,
  edge,
  tail: 0.07,
  tailSigma: 2.2 * sigma,
  reflectance: Float64Array.from(wavelengths, (nm) => bright + 0.00006 * (nm - 550)),
});

const pearl = (rate: number, path: number, boost: number): TonerOptics => ({
  kind: 'pearl',
  rate,
  sigma: 5.5,
  tail: 0.05,
  tailSigma: 14,
  edge: 0.04,
  plate: { path, boost },
});

/** The same paint with less or more in it: K and S by one factor, so that it hides later or sooner and looks the same when it hides. */
const thinned = (factor: number, toner: TonerOptics): TonerOptics =>
  toner.kind === 'pigment'
    ? { ...toner, absorption: toner.absorption.map((k) => k * factor), scattering: toner.scattering * factor }
    : toner;

export const optics: Readonly<Record<string, TonerOptics>> = {
  'BND-0': pigment(0.02, 0, even(0.01), hump(380, 40, 0.08)),
  'FLP-0': pigment(26, 22, even(0.04)),
  'WHT-1': pigment(50, 8, even(0.012), below(398, 5, 3)),
  'BLK-1': pigment(2.5, 0, even(104, 0.06)),
  'BLK-4': pigment(1.6, 0, even(36, -0.1)),
  'ALU-C': metal(7, 5.6, 0.06, 0.885),
  'ALU-M': metal(10, 6.8, 0.085, 0.872),
  'ALU-F': metal(15, 8.2, 0.12, 0.845),
  'PRL-3': pearl(9, 132, 3),
  'PRL-5': pearl(9, 340, 4),
  'GRN-2': pigment(4.2, 0, hump(412, 50, 11.6), hump(655, 62, 14.6), even(2.7)),
  'BLU-1': pigment(2.6, 0, hump(600, 66, 24), hump(690, 60, 7), even(0.8), hump(390, 30, 5)),
  'BLU-3': pigment(2.4, 0, hump(625, 50, 26), hump(690, 60, 20), even(0.7), hump(385, 30, 7)),
  'VIO-1': pigment(1.6, 0, hump(575, 48, 34), hump(530, 40, 18), even(1.1)),
  'MAG-1': pigment(2.2, 0, hump(528, 30, 16), hump(562, 24, 21), hump(440, 60, 4), even(0.5)),
  'RED-2': pigment(3.2, 0, below(585, 9, 20), hump(545, 35, 7), even(0.4)),
  'OXR-2': pigment(4.0, 0, below(520, 38, 20), even(0.8)),
  'YEL-3': pigment(3.0, 0, below(478, 12, 22), even(0.25)),
  'SEAL-W': thinned(0.5, pigment(52, 0, even(0.008), below(398, 5, 2))),
  'SEAL-K': thinned(0.5, pigment(19, 0, even(10.8))),
  'S-BND': thinned(0.5, pigment(0.02, 0, even(0.008), hump(380, 40, 0.05))),
  'S-WHT': thinned(0.5, pigment(60, 0, even(0.01), below(398, 5, 3))),
  'S-BLK': thinned(0.5, pigment(5, 0, even(66, 0.08))),
  'S-YEL': thinned(0.5, pigment(30, 0, below(489, 9, 19), even(0.06))),
  'S-OCH': thinned(0.5, pigment(34, 0, below(535, 24, 11), even(0.5))),
  'S-ORG': thinned(0.5, pigment(20, 0, below(553, 11, 20), even(0.08))),
  'S-RED': thinned(0.5, pigment(15, 0, below(588, 9, 21), even(0.12))),
  'S-OXR': thinned(0.5, pigment(30, 0, below(572, 15, 17), even(1.6))),
  'S-MAG': thinned(0.5, pigment(3, 0, hump(528, 32, 20), hump(562, 25, 25), hump(440, 60, 5), even(0.4))),
  'S-BLU': thinned(0.5, pigment(3, 0, hump(625, 52, 36), hump(690, 60, 26), even(0.7), hump(385, 30, 8))),
  'S-GRN': thinned(0.5, pigment(3, 0, hump(420, 50, 20), hump(650, 60, 31), even(1.6))),
};
