/** Where a measured colour comes from: the takes, the light, and the weights; and how far a card lies from its standard. */
import { lineOf, linesOf, text } from '../../grammar/tree.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { type Angle, angleAt, type Colours, coloursIn, labOf } from '../book/colours.ts';
import type { LabLine, SpectrumLine } from '../book/entries/measured.ts';
import { viewingOf } from '../book/entries/shop.ts';
import { importedInto } from '../book/imported.ts';
import { cardIn, measuredIn, shopOf } from '../book/known.ts';
import { type Recipe, recipeNamed } from '../book/recipe.ts';
import { xyzOfSpectrum } from '../colour/lab.ts';
import type { Spectrum } from '../colour/spectrum.ts';
import { parseViewing, type Viewing, viewingText } from '../colour/viewing.ts';
import { type Derivation, headStep, lineStep, placeOf, type Step } from './derivation.ts';
import { plainName } from './measured.ts';
import { repeatAt } from './repeat.ts';
import { cardDifference } from './show.ts';
import { Unanswerable } from './subject.ts';

export const COLOUR_FIGURES: readonly string[] = ['colour GEOMETRY [ILLUMINANT/OBSERVER]'];
export const CARD_FIGURES: readonly string[] = [...COLOUR_FIGURES, 'difference'];

export function whyCard(book: Book, cell: EntryCell, figure: readonly string[]): Derivation | undefined {
  if (figure[0] !== 'difference') return whyColour(book, cell, figure);
  const { formula } = cardIn(book, cell);
  const recipe = formula === undefined ? undefined : recipeNamed(book, formula);
  if (!recipe) throw new Unanswerable(`${plainName(cell)} has no difference: it names no formula of the book.`);
  return whyDifference(book, recipe, cell);
}

/** @throws Unanswerable when nothing is measured at that angle or under that light. */
export function whyColour(
  book: Book,
  cell: EntryCell,
  [word, geometry, light]: readonly string[],
): Derivation | undefined {
  if (word !== 'colour') return undefined;
  const viewing = light === undefined ? shopOf(book).viewings[0]! : viewingNamed(light);
  const colours = coloursIn(book, cell);
  const angle = angleNamed(cell, colours, geometry);
  const lab = labOf(angle, viewing, colours.bandpass);
  if (!lab) throw new Unanswerable(whyNone(cell, angle, viewing));
  const [L, a, b] = lab.map((one) => one.toFixed(2));
  return {
    figure: `colour of ${plainName(cell)} at ${angle.geometry} under ${viewingText(viewing)}`,
    value: `L* ${L} a* ${a} b* ${b}`,
    basis: 'measured',
    steps: [
      ...lightSteps(book, viewing, light === undefined),
      ...(angle.spectrum ? spectrumSteps(colours, angle.spectrum, angle, viewing) : labSteps(angle, viewing)),
      ...takeSteps(book, cell, angle, viewing),
      ...leftOutSteps(cell, angle.geometry),
      ...repeatSteps(angle, viewing, colours),
    ],
  };
}

function viewingNamed(light: string): Viewing {
  try {
    return parseViewing(light);
  } catch (error) {
    throw error instanceof RangeError ? new Unanswerable(error.message) : error;
  }
}

/** The angle that is asked for, or the only one there is. */
function angleNamed(cell: EntryCell, { angles }: Colours, geometry: string | undefined): Angle {
  const found = angles.find((angle) => angle.geometry === geometry) ?? (angles.length === 1 ? angles[0] : undefined);
  if (found && (geometry === undefined || found.geometry === geometry)) return found;
  const known = angles.map((angle) => angle.geometry).join(' ');
  throw new Unanswerable(
    known === ''
      ? `${plainName(cell)} has no colour: nothing is read at any angle.`
      : geometry === undefined
        ? `Say at which angle, one of ${known}: colour ${angles[0]!.geometry}`
        : `${plainName(cell)} is not read at ${geometry}, but at ${known}.`,
  );
}

function whyNone(cell: EntryCell, angle: Angle, viewing: Viewing): string {
  const at = `${plainName(cell)} has no colour at ${angle.geometry} under ${viewingText(viewing)}`;
  if (angle.spectra.length > 0) return `${at}: its takes have unlike wavelengths, so they have no mean.`;
  return `${at}: it has no spectrum, and its Lab is stated for ${[...angle.labs.keys()].join(', ')} only.`;
}

function lightSteps(book: Book, viewing: Viewing, isMain: boolean): Step[] {
  if (!isMain) return [];
  const shop = book.shops()[0];
  const line = shop && lineOf(shop.entry, 'illuminants');
  const text = `${viewingText(viewing)} is the book's main light, the first that it names`;
  if (shop && line) return [{ text, place: placeOf(shop, line) }];
  return [{ text: `${viewingText(viewing)} is the main light by default: the book names none` }];
}

function spectrumSteps({ bandpass }: Colours, mean: Spectrum, angle: Angle, viewing: Viewing): Step[] {
  const { illuminant, observer } = viewing;
  const xyz = xyzOfSpectrum(mean, illuminant, observer, bandpass).map((one) => one.toFixed(2));
  const last = mean.start + mean.step * (mean.values.length - 1);
  const count = angle.spectra.length;
  return [
    {
      text: `${count === 1 ? 'one spectrum' : `the mean of ${count} spectra, wavelength by wavelength`}: ${mean.start}..${last}/${mean.step} nm, ${mean.values.length} values`,
    },
    {
      text: `weighted for CIE ${illuminant} and the ${observer} degree observer as ASTM E308 describes, weights by ASTM E2022, ${bandpass === 'corrected' ? 'the pass band already taken out by the instrument' : 'the pass band taken out within the weights'}: X ${xyz[0]} Y ${xyz[1]} Z ${xyz[2]}`,
    },
    { text: 'L* a* b* of these by CIE 015 (ISO/CIE 11664-4)' },
  ];
}

function labSteps(angle: Angle, viewing: Viewing): Step[] {
  const count = angle.labs.get(viewingText(viewing))?.length ?? 0;
  return [
    {
      text: `${count === 1 ? 'L* a* b* as stated' : `the mean of ${count} stated L* a* b*`}; no spectrum is known, so no other light can be told`,
    },
  ];
}

/** The lines that were averaged; of values from a file the line that names it. */
function takeSteps(book: Book, cell: EntryCell, angle: Angle, viewing: Viewing): Step[] {
  const measured = importedInto(book, cell, measuredIn(book, cell));
  const main = shopOf(book).viewings[0]!;
  const at = (one: LabLine | SpectrumLine) => one.geometry === angle.geometry;
  if (angle.spectrum) {
    const counted = new Set(angle.spectra.map(({ take }) => take));
    return measured.spectra
      .filter((one) => at(one) && counted.has(one.take))
      .map(({ take, line }) => ({ text: takeText('spectrum', take, line.word), place: placeOf(cell, line) }));
  }
  const counted = new Set(angle.labs.get(viewingText(viewing))?.map(({ take }) => take));
  const under = (one: LabLine) => viewingText((one.viewing && viewingOf(one.viewing)) || main) === viewingText(viewing);
  return measured.labs
    .filter((one) => at(one) && under(one) && counted.has(one.take))
    .map(({ take, lab, line }) => ({
      text: `${takeText('lab', take, line.word)}: ${lab.join(' ')}`,
      place: placeOf(cell, line),
    }));
}

const takeText = (word: string, take: number, by: string): string =>
  `take ${take}${by === word ? '' : ', from the file that the reading names'}`;

function leftOutSteps(cell: EntryCell, geometry: string): Step[] {
  return linesOf(cell.entry, 'without').flatMap((line) => {
    const at = text(line, 'geometry');
    if (!line.row || (at !== undefined && at !== geometry)) return [];
    const step = lineStep({ cell, line });
    return [{ ...step, text: `left out: ${step.text}` }];
  });
}

/** The mean that a single take goes into, with how far the takes lie from it. */
export function takesAt(book: Book, cell: EntryCell, geometry: string): Step[] {
  const viewing = shopOf(book).viewings[0]!;
  const colours = coloursIn(book, cell);
  const angle = angleAt(colours, geometry);
  const mean = angle && labOf(angle, viewing, colours.bandpass);
  if (!angle || !mean) return [];
  const count = Math.max(angle.spectra.length, angle.labs.get(viewingText(viewing))?.length ?? 0);
  const lab = mean.map((one) => one.toFixed(2)).join(' ');
  const of = count < 2 ? 'one take' : `mean of ${count} takes`;
  return [
    { text: `${of} at ${geometry}: L* a* b* ${lab} under ${viewingText(viewing)}` },
    ...repeatSteps(angle, viewing, colours),
  ];
}

function repeatSteps(angle: Angle, viewing: Viewing, { bandpass }: Colours): Step[] {
  const repeat = repeatAt(angle, viewing, bandpass);
  if (!repeat) return [];
  const out = repeat.outlier === undefined ? '' : `; take ${repeat.outlier} is out of line`;
  return [
    {
      text: `its ${repeat.takes} takes lie ${repeat.mcdm.dE00.toFixed(2)} dE00 from their mean on average (ASTM E2214)${out}`,
    },
  ];
}

/** How far a card lies from what its formula has to look like. @throws Unanswerable where that cannot be told, saying why. */
export function whyDifference(book: Book, recipe: Recipe, card: EntryCell | undefined): Derivation {
  const standard = recipe.standard && book.find('reading', recipe.standard.is);
  if (!standard || !card)
    throw new Unanswerable(`${recipe.id} has no difference: no reading of the book is named as its standard.`);
  const rows = cardDifference(book, standard, card, shopOf(book).viewings.slice(0, 1));
  const worst = rows[0];
  const [cardId, standardId] = [plainName(card), recipe.standard.is];
  if (!worst)
    throw new Unanswerable(`${recipe.id} has no difference: card ${cardId} and ${standardId} have no angle in common.`);
  return {
    figure: `difference of ${recipe.id}`,
    value: `worst ${worst.dE00.toFixed(1)} dE00 at ${worst.geometry}`,
    basis: 'measured',
    steps: [
      {
        text: `CIEDE2000 (ISO/CIE 11664-6) of card ${cardId} from the standard ${standardId}, under ${worst.illuminant}/${worst.observer}`,
      },
      ...rows.map((row) => ({ text: `${row.geometry}: ${row.dE00.toFixed(2)}` })),
      headStep('the card', card),
      headStep('the standard', standard),
    ],
  };
}
