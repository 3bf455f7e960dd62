import { describe, expect, it } from 'vitest';
import { type Asked, show } from '../../../server/answers/show.ts';
import type { FormulaAnswer } from '../../../server/answers/show-formula.ts';
import type { ReadingAnswer } from '../../../server/answers/show-reading.ts';
import { subject, Unanswerable } from '../../../server/answers/subject.ts';
import { difference } from '../../../server/colour/difference.ts';
import { type Lab, labOfSpectrum } from '../../../server/colour/lab.ts';
import { repeatabilityOfSpectra } from '../../../server/colour/repeat.ts';
import { readingText } from '../../../server/report/text/show-reading.ts';
import { bookOf } from '../book/marked.ts';
import { entry, reading, SHOP } from './entry.ts';
import { metamerOf, spectrumLine, standardSpectrum } from './metamers.ts';

function shown(text: string, id: string, asked: Omit<Asked, 'against'> & { against?: string } = {}) {
  const book = bookOf(SHOP + text);
  const { against, ...rest } = asked;
  return show(book, subject(book, id), { ...rest, ...(against ? { against: subject(book, against) } : {}) });
}
const readingOf = (...args: Parameters<typeof shown>) => shown(...args) as ReadingAnswer;
const formulaOf = (...args: Parameters<typeof shown>) => shown(...args) as FormulaAnswer;

describe('the repeat of a reading', () => {
  // Worked by hand; the dE00 with code that was checked on a published pair (definition: Billmeyer and Alessi 1981, ASTM E2214).
  const THREE = [
    'lab 45as15 take 1 61.92 -18.40 9.81',
    'lab 45as15 take 2 61.88 -18.36 9.77',
    'lab 45as15 take 3 61.95 -18.41 9.84',
  ];

  it('is the mean difference of the takes from their mean', () => {
    const { repeat } = readingOf(reading('R', ...THREE), 'R');
    expect(repeat).toEqual({
      takes: 3,
      mcdm: { dE00: 0.02795, dE76: 0.04072 },
      largest: { dE00: 0.04101, dE76: 0.05991 },
      outlier: null,
      geometry: '45as15',
    });
  });

  it('is not lost beside one averaged spectrum of the same angle', () => {
    const { repeat, colours } = readingOf(reading('R', ...THREE, spectrumLine('45as15', standardSpectrum)), 'R');
    expect(repeat.takes).toBe(3);
    expect(repeat.mcdm!.dE00).toBe(0.02795);
    expect(colours.every((colour) => colour.from === 'spectrum')).toBe(true);
  });

  it('averages spectra as light, before any colour', () => {
    const takes = [
      standardSpectrum,
      metamerOf(0.1),
      { ...standardSpectrum, values: standardSpectrum.values.map((v) => v * 1.2) },
    ];
    const lines = takes.map((spectrum, i) => spectrumLine('45/0', spectrum, `take ${i + 1}`));
    const { repeat, colours } = readingOf(reading('R', ...lines), 'R');
    const expected = repeatabilityOfSpectra(takes, { illuminant: 'D65', observer: '10' });
    expect(repeat.mcdm!.dE00).toBeCloseTo(expected.mcdm.dE00, 4);
    expect(colours[0]!.lab[0]).toBeCloseTo(expected.mean[0], 3);
  });

  it('names the take that lies apart, and leaves out what the text leaves out, with its reason', () => {
    const out = 'lab 45as15 take 4 60.1 -18.2 9.9';
    expect(readingOf(reading('R', ...THREE, out), 'R').repeat.outlier).toEqual({ geometry: '45as15', take: 4 });
    const { repeat, leftOut } = readingOf(reading('R', ...THREE, out, 'without take 4 "finger"'), 'R');
    expect(repeat).toMatchObject({ takes: 3, mcdm: { dE00: 0.02795 }, outlier: null });
    expect(leftOut).toEqual([{ take: 4, geometry: null, reason: 'finger' }]);
  });

  it('is not known of one take', () => {
    expect(readingOf(reading('R', THREE[0]!), 'R').repeat).toEqual({
      takes: 1,
      mcdm: null,
      largest: null,
      outlier: null,
      geometry: null,
    });
  });
});

describe('the colours of a reading', () => {
  const viewings = (['D65', 'A', 'F11'] as const).flatMap((illuminant) =>
    (['10', '2'] as const).map((observer) => ({ illuminant, observer })),
  );

  it('are there for every light and observer that is asked for', () => {
    const lines = ['45as15', '45as110'].map((geometry) => spectrumLine(geometry, standardSpectrum));
    const { colours, notes } = readingOf(reading('R', ...lines), 'R', { viewings });
    expect(colours).toHaveLength(12);
    expect(notes).toEqual([]);
    for (const { illuminant, observer, lab } of colours) {
      const expected = labOfSpectrum(standardSpectrum, illuminant as 'D65', observer as '10');
      for (const [i, value] of lab.entries()) expect(value).toBeCloseTo(expected[i]!, 3);
    }
    expect(new Set(colours.map((one) => `${one.geometry} ${one.illuminant}/${one.observer}`)).size).toBe(12);
  });

  it('are not made up where there is no spectrum', () => {
    const { colours, notes } = readingOf(reading('R', 'lab 45as15 50 1 2', 'lab 45as15 A/10 51 2 3'), 'R');
    expect(colours).toEqual([
      { geometry: '45as15', illuminant: 'D65', observer: '10', lab: [50, 1, 2], from: 'lab' },
      { geometry: '45as15', illuminant: 'A', observer: '10', lab: [51, 2, 3], from: 'lab' },
    ]);
    expect(notes).toEqual(['nothing under F11/10: there is no spectrum, and no Lab for it']);
  });

  it('respect the bandpass of the reading', () => {
    const line = spectrumLine('45/0', standardSpectrum);
    const [corrected] = readingOf(reading('R', line), 'R').colours;
    const [uncorrected] = readingOf(reading('R', 'bandpass uncorrected', line), 'R').colours;
    const expected = labOfSpectrum(standardSpectrum, 'D65', '10', 'uncorrected');
    expect(uncorrected!.lab[2]).toBeCloseTo(expected[2], 3);
    expect(uncorrected!.lab).not.toEqual(corrected!.lab);
  });
});

describe('the flop index', () => {
  const angles = (L15: number, L45: number, L110: number) =>
    reading('R', `lab 45as15 ${L15} 0 0`, `lab 45as45 ${L45} 0 0`, `lab 45as110 ${L110} 0 0`);

  it('is a figure where the three angles allow it', () => {
    // D. H. Alman 1987; the figure was worked by hand, the constants are from memory.
    expect(readingOf(angles(110, 65, 35), 'R')).toMatchObject({ flopIndex: 8.9529, flopReason: null });
    expect(readingOf(angles(60, 60, 60), 'R').flopIndex).toBe(0);
  });

  it('is null with a reason elsewhere', () => {
    expect(readingOf(reading('R', 'lab 45/0 50 0 0'), 'R')).toMatchObject({
      flopIndex: null,
      flopReason: 'it needs 45as15, 45as45, 45as110 under D65/10',
    });
    expect(readingOf(angles(35, 65, 110), 'R')).toMatchObject({
      flopIndex: null,
      flopReason: 'it has no value where the flop is lighter than the face',
    });
  });
});

describe('a reading against a standard', () => {
  const pair = (size: number) =>
    reading('STD', spectrumLine('45/0', standardSpectrum)) + reading('R', spectrumLine('45/0', metamerOf(size)));

  it('parts under another light by as much as the colours differ there, when they match under the first', () => {
    const { metamerism, against, reference } = readingOf(pair(0.2), 'R', { against: 'STD' });
    expect([against, reference]).toEqual(['STD', 'D65']);
    expect(metamerism!.map((one) => one.illuminant)).toEqual(['A', 'F11']);
    for (const { illuminant, multiplicative, additive } of metamerism!) {
      const [a, b] = [standardSpectrum, metamerOf(0.2)].map((s): Lab => labOfSpectrum(s, illuminant as 'A', '10'));
      expect(multiplicative!.dE00).toBeGreaterThan(0.5);
      expect(multiplicative!.dE00).toBeCloseTo(difference('dE00', a!, b!), 3);
      expect(multiplicative!.dE76).toBeCloseTo(difference('dE76', a!, b!), 3);
      expect(additive.dE76).toBeCloseTo(difference('dE76', a!, b!), 3);
    }
  });

  it('is told for the lights and observers that are asked for, made equal under the first light of the book', () => {
    const viewings = [
      { illuminant: 'A', observer: '10' },
      { illuminant: 'A', observer: '2' },
    ] as const;
    const { metamerism } = readingOf(pair(0.2), 'R', { viewings, against: 'STD' });
    expect(metamerism!.map(({ geometry, illuminant, observer }) => [geometry, illuminant, observer])).toEqual([
      ['45/0', 'A', '10'],
      ['45/0', 'A', '2'],
    ]);
  });

  it('is nothing against itself', () => {
    const { metamerism } = readingOf(pair(0.2), 'STD', { against: 'STD' });
    expect(metamerism!.every((one) => one.multiplicative!.dE00 === 0 && one.additive.dE76 === 0)).toBe(true);
  });

  it('says why there is no index', () => {
    const labs = reading('A', 'lab 45/0 50 0 0') + reading('B', 'lab 45/0 50 0 0');
    const { metamerism, againstNotes } = readingOf(labs, 'A', { against: 'B' });
    expect(metamerism).toEqual([]);
    expect(againstNotes).toEqual(['no metamerism: it needs spectra at one angle of both']);
  });

  it('says what was not read alike', () => {
    const text =
      reading('STD', 'surface cleared', spectrumLine('45/0', standardSpectrum)) +
      reading('R', 'surface uncleared', spectrumLine('45/0', standardSpectrum));
    expect(readingOf(text, 'R', { against: 'STD' }).againstNotes).toEqual(['one surface is cleared, the other is not']);
  });
});

const FORMULA =
  reading('STD', spectrumLine('45/0', standardSpectrum)) +
  entry('formula F "f"', 'standard STD', 'toner A 75', 'toner B 25') +
  entry('sprayout F-card of F', 'toner A 3', 'toner B 1', spectrumLine('45/0', metamerOf(0.2)));

describe('a formula', () => {
  it('is shown with its card, the verdict on it, and its metamerism against any standard', () => {
    const answer = formulaOf(FORMULA, 'F', { against: 'STD' });
    expect(answer).toMatchObject({ sprayout: 'F-card', standard: 'STD', against: 'STD', flopIndex: null });
    expect(answer.verdict).toMatchObject({ word: 'holds edge to edge', worst: '45/0', illuminant: 'D65' });
    expect(answer.metamerism!.map((one) => one.illuminant)).toEqual(['A', 'F11']);
    expect(answer.difference[0]!.dE00).toBeGreaterThan(answer.difference.at(-1)!.dE00);
    expect(readingOf(FORMULA, 'sprayout:F-card', { against: 'formula:F' }).metamerism!.length).toBe(2);
  });

  it('is not compared before it is sprayed', () => {
    const bare = reading('STD', 'lab 45/0 50 0 0') + entry('formula F "f"', 'standard STD', 'toner A 1');
    expect(formulaOf(bare, 'F')).toMatchObject({ verdict: null, differs: '', difference: [], flopIndex: null });
    expect(() => shown(bare, 'F', { against: 'STD' })).toThrow(Unanswerable);
  });
});

describe('the JSON of show', () => {
  it('keeps its names', () => {
    const answer = readingOf(FORMULA, 'F-card', { against: 'STD' });
    expect(Object.keys(answer).sort()).toEqual(
      [
        'against againstNotes colours flopIndex flopReason id instrument kind leftOut',
        'metamerism name notes reference repeat taken',
      ]
        .join(' ')
        .split(' '),
    );
    expect(Object.keys(answer.colours[0]!).sort()).toEqual(['from', 'geometry', 'illuminant', 'lab', 'observer']);
    expect(Object.keys(answer.metamerism![0]!).sort()).toEqual([
      'additive',
      'geometry',
      'illuminant',
      'multiplicative',
      'observer',
    ]);
    expect(Object.keys(answer.metamerism![0]!.multiplicative!)).toEqual(['dE76', 'dE00']);
    expect(Object.keys(answer.metamerism![0]!.additive)).toEqual(['dE76']);
    // Predictions add names of their own.
    expect(Object.keys(formulaOf(FORMULA, 'F'))).toEqual(
      expect.arrayContaining(
        [
          'as difference differs earlierCards flopIndex flopReason id kind lineage name notes',
          'sprayout standard status target toners total undercoat verdict',
        ]
          .join(' ')
          .split(' '),
      ),
    );
  });
});

describe('the text of a reading', () => {
  const text = (lines: string[]) => readingText(readingOf(reading('R', ...lines), 'R'));

  it('says that takes of unlike wavelengths have no mean, and shows no figure for them', () => {
    const wide = `spectrum 45/0 take 2 400..700/20 ${Array.from({ length: 16 }, () => '0.3').join(' ')}`;
    const shown = text([spectrumLine('45/0', standardSpectrum, 'take 1'), wide]);
    expect(shown).toContain('Note: no mean spectrum at 45/0: its takes have unlike wavelengths.');
    expect(shown).not.toMatch(/NaN|undefined/);
  });

  it('says when nothing was read, or once only', () => {
    expect(text([])).toContain('Nothing was read that gives a colour.');
    expect(text(['spectrum 45/0 400..430/10 0.1 0.1 0.1 0.1'])).toContain('Nothing was read that gives a colour.');
    expect(text(['lab 45/0 50 0 0'])).toContain('One take: how well it repeats is not known.');
  });

  it('speaks of the flop only where an angle from the gloss was read', () => {
    expect(text(['lab 45/0 50 0 0'])).not.toContain('lop');
    expect(text(['lab 45as15 50 0 0'])).toContain('No flop index: it needs 45as15, 45as45, 45as110');
  });
});
