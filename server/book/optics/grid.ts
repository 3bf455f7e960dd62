/** One grid of wavelengths for all that the book learns from: 400 to 700 nm in steps of 10. */
import { type Spectrum, spectrumEnd } from '../../colour/spectrum.ts';

export const GRID = { start: 400, step: 10, count: 31 } as const;

/** Wider steps than this leave out what narrow absorption bands do. */
const WIDEST_STEP = 20;

/**
 * The spectrum at the wavelengths of the grid: taken where it was read there (5 nm is thinned), else linear between its
 * neighbours (20 nm). undefined when it is narrower than the grid or coarser than 20 nm.
 */
export function onGrid(spectrum: Spectrum): number[] | undefined {
  const { start, step, values } = spectrum;
  const last = GRID.start + GRID.step * (GRID.count - 1);
  if (step > WIDEST_STEP || start > GRID.start || spectrumEnd(spectrum) < last) return undefined;
  return Array.from({ length: GRID.count }, (_, i) => {
    const place = (GRID.start + i * GRID.step - start) / step;
    const left = Math.min(Math.floor(place), values.length - 2);
    const part = place - left;
    return part === 0 ? values[left]! : values[left]! * (1 - part) + values[left + 1]! * part;
  });
}
