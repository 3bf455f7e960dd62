/** A small book with two cards, whose differences are known. */
export const SHOP =
  'book "Saltmarsh Coachworks"\n  language 1\n  scale 0.1 g\n  illuminants D65/10\n  tolerance 1.0 dE00\n';

export const TONERS = `system WB "Waterborne"

toner BLK-1 "Carbon black"
  system WB
  price 40 EUR/kg

toner WHT-1 "White"
  system WB
  price 10 EUR/kg
`;

export const STANDARD = 'reading DOOR "Door"\n  surface cleared polished\n  lab 45/0 50 0 0\n';

export const FORMULA = `formula GUL-2 "Gull Grey"
  system WB
  status approved by RO on 2026-09-10
  undercoat SEAL grey N5
  target weight 200 g as poured
  standard DOOR
  toner WHT-1 90
  toner BLK-1 10
  expect sprayout worst <= 1.0 dE00
`;

export const VARIANT = 'variant GUL-2/warm "Warmer"\n  toner BLK-1 +1\n';

export const UNDERCOAT = 'undercoat SEAL "Sealer"\n  grey N9 toner WHT-1 100\n  grey N2 toner BLK-1 100\n';

/** A card of the formula with these parts of black, read as this L*. */
export const card = (id: string, black: string, lightness: string, day: string): string =>
  `sprayout ${id} of GUL-2\n  sprayed ${day}\n  toner WHT-1 90\n  toner BLK-1 ${black}\n  surface cleared polished\n  lab 45/0 ${lightness} 0 0\n`;

/** dE00 of two greys of L* 50 and this, by the published formula: S_L = 1 + 0.015 (L' - 50)² / sqrt(20 + (L' - 50)²), at their mean. */
export function greyDifference(other: number): number {
  const square = ((50 + other) / 2 - 50) ** 2;
  return Math.abs(other - 50) / (1 + (0.015 * square) / Math.sqrt(20 + square));
}

export const book = (...more: readonly string[]): Record<string, string> => ({
  'book.pour': SHOP,
  'toners.pour': TONERS,
  'rest.pour': [UNDERCOAT, STANDARD, FORMULA, VARIANT, card('C-1', '10', '50.4', '2026-09-09'), ...more].join('\n'),
});
