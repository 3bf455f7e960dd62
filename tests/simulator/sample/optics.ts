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

export const optics: Readonly<Record<string, TonerOptics>> = {
  'BND-0': pigment(0.02, 0, even(0.01), hump(380, 40, 0.08)),
  'FLP-0': pigment(26, 22, even(0.04)),
  'WHT-1': pigment(50, 8, even(0.012), below(398, 5, 3)),
  'BLK-1': pigment(0.6, 0, even(104, 0.06)),
  'BLK-4': pigment(0.8, 0, even(36, -0.1)),
  'ALU-C': metal(7, 5.6, 0.06, 0.885),
  'ALU-M': metal(10, 6.8, 0.085, 0.872),
  'ALU-F': metal(15, 8.2, 0.12, 0.845),
  'PRL-3': pearl(9, 132, 3),
  'PRL-5': pearl(9, 340, 4),
  'GRN-2': pigment(4.2, 0, hump(412, 50, 11), hump(655, 62, 14.4), even(2.5)),
  'BLU-1': pigment(2.6, 0, hump(600, 66, 24), hump(690, 60, 7), even(0.8), hump(390, 30, 5)),
  'BLU-3': pigment(2.4, 0, hump(625, 50, 26), hump(690, 60, 20), even(0.7), hump(385, 30, 7)),
  'VIO-1': pigment(1.6, 0, hump(575, 48, 34), hump(530, 40, 18), even(1.1)),
  'MAG-1': pigment(2.2, 0, hump(528, 30, 16), hump(562, 24, 21), hump(440, 60, 4), even(0.5)),
  'RED-2': pigment(3.2, 0, below(585, 9, 20), hump(545, 35, 7), even(0.4)),
  'OXR-2': pigment(4.0, 0, below(520, 38, 20), even(0.8)),
  'YEL-3': pigment(3.0, 0, below(478, 12, 22), even(0.25)),
  'SEAL-W': pigment(52, 0, even(0.008), below(398, 5, 2)),
  'SEAL-K': pigment(19, 0, even(10.8)),
  'S-BND': pigment(0.02, 0, even(0.008), hump(380, 40, 0.05)),
  'S-WHT': pigment(60, 0, even(0.01), below(398, 5, 3)),
  'S-BLK': pigment(0.6, 0, even(210, 0.08)),
  'S-YEL': pigment(30, 0, below(492, 9, 62), even(0.12)),
  'S-OCH': pigment(34, 0, below(535, 24, 40), even(1.5)),
  'S-ORG': pigment(20, 0, below(555, 11, 70), even(0.2)),
  'S-RED': pigment(15, 0, below(590, 9, 80), even(0.35)),
  'S-OXR': pigment(30, 0, below(572, 15, 52), even(5)),
  'S-MAG': pigment(1.2, 0, hump(528, 32, 56), hump(562, 25, 70), hump(440, 60, 14), even(1.2)),
  'S-BLU': pigment(1.0, 0, hump(625, 52, 110), hump(690, 60, 80), even(2.2), hump(385, 30, 24)),
  'S-GRN': pigment(1.0, 0, hump(420, 50, 60), hump(650, 60, 95), even(5)),
};
