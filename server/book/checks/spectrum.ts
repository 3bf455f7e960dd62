import type { Finding } from '../../../grammar/finding.ts';
import type { Line } from '../../../grammar/tree.ts';
import { sameWavelengths } from '../../colour/spectrum.ts';
import { whyColourless } from '../colours.ts';
import type { Measured, SpectrumLine } from '../entries/measured.ts';
import { importedInto } from '../imported.ts';
import { measuredIn } from '../known.ts';
import { type Check, finding } from './check.ts';

export const spectrum: Check = {
  pages: [
    {
      code: 'spectrum-short',
      title: 'A spectrum from which no colour can be computed',
      text: 'A colour needs the spectrum from about 400 to 700 nm in steps of 20 nm or less, at whole nanometres (ASTM E308 gives its weights for 10 and 20 nm). What is missing is not made up: the spectrum is kept in the record and not used. Export it whole, or write the Lab that the instrument computed.',
    },
    {
      code: 'spectrum-percent',
      title: 'Reflectances that look like per cent',
      text: 'Reflectance factors are fractions of the perfect diffuser, 1 for white. Flake paint near the gloss may reach several times that, but not this much: the values seem to be in per cent. Divide them by 100.',
    },
    {
      code: 'spectrum-unlike',
      title: 'Takes of unlike wavelengths',
      text: 'Takes of one angle are averaged as spectra, value by value, before any colour is computed; that needs the same wavelengths in each. Write all of them on one range, or leave the odd one out with `without take`.',
    },
  ],
  in: ['reading', 'sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    // Of a file with many spectra one finding of a kind is enough.
    const told = new Set<string>();
    for (const one of faultsIn(importedInto(book, cell, measuredIn(book, cell)))) {
      const key = `${one.code} ${one.from}`;
      if (!told.has(key)) yield one;
      told.add(key);
    }
  },
};

function* faultsIn({ spectra, bandpass, leftOut }: Measured): Generator<Finding> {
  const first = new Map<string, SpectrumLine>();
  for (const one of spectra) {
    const { geometry, spectrum } = one;
    if (leftOut.some((out) => out.take === one.take && (out.geometry ?? geometry) === geometry)) continue;
    const why = whyColourless(spectrum, bandpass);
    const before = first.get(geometry) ?? one;
    if (why) yield short(one, why);
    else if (spectrum.values.some((value) => value > MOST)) yield percent(one);
    else if (!sameWavelengths(before.spectrum, spectrum)) yield unlike(one, before);
    if (!why) first.set(geometry, before);
  }
}

/** No paint reflects this many times what the perfect diffuser does at the angles that are read (common practice: below 5). */
const MOST = 10;

const placeOf = (line: Line) => line.values.find((value) => value.place === 'grid' || value.place === 'file') ?? line;

const short = ({ line, geometry }: SpectrumLine, why: string): Finding =>
  finding(
    'spectrum-short',
    'error',
    placeOf(line),
    `No colour can be computed from this spectrum at ${geometry}. ${why}`,
    'Export it whole, or write the Lab that the instrument gave.',
  );

const percent = ({ line, geometry, spectrum: { values } }: SpectrumLine): Finding =>
  finding(
    'spectrum-percent',
    'warning',
    placeOf(line),
    `Reflectances up to ${Math.max(...values).toFixed(1)} at ${geometry} look like per cent.`,
    'Write fractions, 1 for the perfect white: divide the values by 100.',
  );

const unlike = ({ line, geometry, take }: SpectrumLine, before: SpectrumLine): Finding =>
  finding(
    'spectrum-unlike',
    'error',
    placeOf(line),
    `Take ${take} at ${geometry} has other wavelengths than take ${before.take}, so the takes cannot be averaged.`,
    `Write all takes on one range, or leave this one out: without take ${take} at ${geometry} "other wavelengths"`,
    { related: [{ from: before.line.from, to: before.line.to, text: `take ${before.take}` }] },
  );
