/** A simulated shop that has read films of known thickness, so that its coats are true figures; and what its paints really read. */
import { simulatedShop } from './simulated-shop.ts';

export const shop = simulatedShop(11, 8, 60);
const { toners } = shop;
const [k1, k2] = [0.04, 0.6];
/** Scattering of the white per um, which the thin films tell. */
export const SCATTERING = 0.4;

/** A film by the hyperbolic solution (Kubelka 1948), through the surface (Saunderson 1942). Both readings as measured. */
export function filmReading(k: number, s: number, thickness: number, under: number): number {
  const below = under / ((1 - k1) * (1 - k2) + k2 * under);
  const a = 1 + k / s;
  const b = Math.sqrt(a * a - 1);
  const coth = Number.isFinite(thickness) ? 1 / Math.tanh(b * s * thickness) : 1;
  const internal = (1 - below * (a - b * coth)) / (a - below + b * coth);
  return ((1 - k1) * (1 - k2) * internal) / (1 - k2 * internal);
}

/** What the simulated toners really are, mixed in these shares. */
function truth(parts: Readonly<Record<string, number>>): { K: Float64Array; S: Float64Array } {
  const total = Object.values(parts).reduce((sum, part) => sum + part, 0);
  const mixed = (of: 'K' | 'S') =>
    Float64Array.from({ length: 31 }, (_, w) =>
      Object.entries(parts).reduce(
        (sum, [code, part]) => sum + (part / total) * toners.find((one) => one.code === code)![of][w]!,
        0,
      ),
    );
  return { K: mixed('K'), S: mixed('S') };
}

/** What a film of these toners really reads over something of this reading. */
export function reads(parts: Readonly<Record<string, number>>, um: number, under: ArrayLike<number>): Float64Array {
  const { K, S } = truth(parts);
  return K.map((k, w) => filmReading(k * SCATTERING, S[w]! * SCATTERING, um, under[w]!));
}

const thin = (id: string, over: string, under: number, um: number) => {
  const values = reads({ T0: 1 }, um, new Float64Array(31).fill(under));
  return `drawdown ${id} "${id}"\n  drawn 2026-09-01 by RO\n  over ${over}\n  film ${um} um in 1 coats\n  toner T0 100\n  spectrum 45/0 400..700/10 ${Array.from(values, (value) => value.toFixed(4)).join(' ')}\n`;
};

export const parts = (paint: Readonly<Record<string, number>>): string =>
  Object.entries(paint)
    .map(([code, part]) => `  toner ${code} ${part}`)
    .join('\n');

/** Coats of 8 um. */
export const FILM_SHOP = `${shop.text}
${thin('B-1', 'black', 0.01, 8)}
${thin('W-1', 'white', 0.8, 8)}
${thin('B-2', 'black', 0.01, 4)}
undercoat SEAL "Sealer"
  system SB
  grey N9.5 toner T0 100
  grey N2 toner T1 100
`;
