/** A small patch of the colour as a screen can show it, said to be no help for judging. */
import type { Lab } from '../../colour/lab.ts';
import { screenColour } from '../../colour/screen.ts';
import type { Viewing } from '../../colour/viewing.ts';

export function swatch(lab: Lab, viewing: Viewing, geometry: string): string {
  const { hex, outOfGamut } = screenColour(lab, viewing.illuminant);
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="48" height="14"><rect width="48" height="14" fill="${hex}"/></svg>`;
  const gamut = outOfGamut ? ', beyond what a screen shows' : '';
  return `![${hex}](data:image/svg+xml;base64,${base64(svg)}) at ${geometry}: screen only, not for judging${gamut}`;
}

/** Hex and angles are ASCII, so the characters are the bytes. */
const base64 = (ascii: string): string => btoa(ascii);
