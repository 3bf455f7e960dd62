/** Entries written line by line. */
export const entry = (head: string, ...lines: string[]): string =>
  `${head}\n${lines.map((line) => `  ${line}\n`).join('')}`;

export const reading = (id: string, ...lines: string[]): string => entry(`reading ${id} "${id}"`, ...lines);

/** A small book; three lights, tolerance 1. */
export const SHOP = entry(
  'book "b"',
  'illuminants D65/10 A/10 F11/10',
  'tolerance 1.0 dE00',
  'recalibrate every 3 days',
);
