import { normal, randomFrom } from '../random.ts';
import type { Coat } from './book.ts';
import { lab } from './instrument.ts';
import { type Angle, type Spectra, seedOf } from './spray.ts';

/** Figures of the generated entries as text. Words and columns as the rest of the book has them. */
const word = (text: string) => `  ${text.padEnd(12)} `;

export const line = (name: string, rest: string): string => word(name) + rest;

export function tonerLines(coats: readonly Coat[]): string[] {
  const alone = coats.length === 1;
  return coats.flatMap(({ name, times, parts }) => {
    const width = Math.max(...[...parts.keys()].map((code) => code.length));
    const toners = [...parts].map(([code, amount]) => `  toner ${code.padEnd(width)} ${amount.toFixed(2).padStart(6)}`);
    return alone ? toners : [`  coat ${name}${times > 1 || name === 'mid' ? ` coats ${times}` : ''}`, ...toners];
  });
}

/** Spectra, ten bands a line after the first; one take or the mean of all. */
export function spectrumLines(spectra: Spectra, take?: number): string[] {
  return [...spectra].flatMap(([angle, spectrum]) => {
    const figures = Array.from(spectrum, (value) => value.toFixed(4));
    const rows = [figures.slice(0, 1), figures.slice(1, 11), figures.slice(11, 21), figures.slice(21)];
    const head = `  spectrum ${angle}${take ? ` take ${take}` : ''} 400..700/10  ${rows[0]!.join(' ')}`;
    return [head, ...rows.slice(1).map((row) => `    ${row.join(' ')}`)];
  });
}

/** How far takes scatter in L*, a*, b* (standard deviations): the gloss side moves most with every lift of the instrument. */
const scatter = (angle: Angle) => (angle === '45as15' ? 0.055 : angle === '45/0' ? 0.02 : 0.035);

/**
 * Takes of one reading as Lab, angle by angle. Their mean is the reading's own colour, so that a mean spectrum beside them
 * tells the same. `outlier` spoils one take, as a finger mark does.
 */
export function takeLines(id: string, spectra: Spectra, takes: number, outlier?: number): string[] {
  const random = randomFrom(seedOf(`takes ${id}`));
  return [...spectra].flatMap(([angle, spectrum]) => {
    const size = scatter(angle);
    const off = Array.from({ length: takes }, () => [1, 0.4, 0.4].map((share) => size * share * normal(random)));
    const good = off.filter((_, i) => i + 1 !== outlier);
    const mean = [0, 1, 2].map((c) => good.reduce((sum, take) => sum + take[c]! / good.length, 0));
    return off.map((take, i) => {
      const spoilt = i + 1 === outlier ? [-1.4, 0.1, 0.3] : [0, 0, 0];
      const figures = lab(spectrum).map((value, c) => value + take[c]! - mean[c]! + spoilt[c]!);
      const columns = figures.map((value) =>
        value
          .toFixed(2)
          .replace(/^-0\.00$/, '0.00')
          .padStart(6),
      );
      return line(`lab ${angle}`, `take ${i + 1}  ${columns.join(' ')}`);
    });
  });
}
