import { rational } from '../../../server/exact/rational.ts';
import type { Amount, Part } from '../../../server/paint/weights.ts';

export function parts(...lines: readonly [code: string, parts: string][]): Part[] {
  return lines.map(([code, text]) => ({ code, parts: rational(text) }));
}

export function amounts(...lines: readonly [code: string, grams: string][]): Amount[] {
  return lines.map(([code, text]) => ({ code, grams: rational(text) }));
}

/** The sample shop's green, and its variant that is darker on the flop. */
export const green = parts(['GRN-2', '41.20'], ['ALU-C', '22.60'], ['BLK-1', '1.25'], ['BND-0', '34.95']);
export const darkGreen = parts(['GRN-2', '41.20'], ['ALU-C', '21.50'], ['BLK-1', '1.65'], ['BND-0', '34.95']);
