/** The colours of a reading under every light that is asked for. */
import { type Colours, labOf } from '../book/colours.ts';
import type { Lab } from '../colour/lab.ts';
import { type Viewing, viewingText } from '../colour/viewing.ts';
import { rounded } from './number.ts';

export interface ShownColour {
  readonly geometry: string;
  readonly illuminant: string;
  readonly observer: string;
  readonly lab: Lab;
  /** measured: computed from a spectrum; stated: the file gives Lab only. */
  readonly from: 'spectrum' | 'lab';
}

/** Angle by angle; an angle without a spectrum only under the lights that its Lab was stated for. */
export function coloursUnder(colours: Colours, viewings: readonly Viewing[]): ShownColour[] {
  return colours.angles.flatMap((angle) =>
    viewings.flatMap((viewing) => {
      const lab = labOf(angle, viewing, colours.bandpass);
      if (!lab) return [];
      const [L, a, b] = lab;
      return [
        {
          geometry: angle.geometry,
          ...viewing,
          lab: [rounded(L), rounded(a), rounded(b)] as const,
          from: angle.spectrum ? ('spectrum' as const) : ('lab' as const),
        },
      ];
    }),
  );
}

/** Why angles have no colour: takes that have no mean, and the lights for which there is nothing. */
export function notUnder(colours: Colours, viewings: readonly Viewing[]): string[] {
  const unlike = colours.angles.filter((angle) => angle.spectra.length > 0 && !angle.spectrum);
  const lights = new Map<string, string[]>();
  for (const viewing of viewings) {
    const lacking = colours.angles.filter(
      (angle) => !unlike.includes(angle) && !labOf(angle, viewing, colours.bandpass),
    );
    if (lacking.length === 0) continue;
    const where = lacking.length === colours.angles.length ? '' : ` at ${lacking.map((one) => one.geometry).join(' ')}`;
    lights.set(where, [...(lights.get(where) ?? []), viewingText(viewing)]);
  }
  return [
    ...unlike.map(({ geometry }) => `no mean spectrum at ${geometry}: its takes have unlike wavelengths`),
    ...[...lights].map(
      ([where, under]) => `nothing under ${under.join(', ')}${where}: there is no spectrum, and no Lab for it`,
    ),
  ];
}
