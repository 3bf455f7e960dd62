import { describe, expect, it } from 'vitest';
import { type CompareOptions, compare } from '../../../server/answers/compare.ts';
import { subject } from '../../../server/answers/subject.ts';
import { METRICS } from '../../../server/colour/difference.ts';
import { compareText } from '../../../server/report/text/compare.ts';
import { bookOf } from '../book/marked.ts';
import { entry, reading, SHOP } from './entry.ts';
import { metamerOf, spectrumLine, standardSpectrum } from './metamers.ts';

function compared(text: string, a: string, b: string, options: CompareOptions = {}) {
  const book = bookOf(SHOP + text);
  return compare(book, subject(book, a), subject(book, b), options);
}

const MAIN = [{ illuminant: 'D65', observer: '10' }] as const;

describe('the differences', () => {
  // Pair 1 of the published CIEDE2000 pairs (Sharma, Wu, Dalal, Color Res. Appl. 30, 21, 2005): dE00 2.0425.
  const PAIR = reading('A', 'lab 45/0 50 2.6772 -79.7751') + reading('B', 'lab 45/0 50 0 -82.7485');

  it('are the published ones', () => {
    const [pair] = compared(PAIR, 'A', 'B').pairs;
    expect(pair).toMatchObject({
      geometry: '45/0',
      illuminant: 'D65',
      observer: '10',
      dE00: 2.0425,
      dL: 0,
      da: -2.6772,
    });
    expect(pair!.dE76).toBeCloseTo(Math.hypot(2.6772, 82.7485 - 79.7751), 4);
  });

  it('come in every metric when all are asked for', () => {
    const [usual] = compared(PAIR, 'A', 'B').pairs;
    const axes = ['geometry', 'illuminant', 'observer', 'dL', 'da', 'db', 'dC', 'dH', 'direction'];
    expect(Object.keys(usual!).sort()).toEqual([...axes, 'dE76', 'dE94', 'dEcmc', 'dE00'].sort());
    const [all] = compared(PAIR, 'A', 'B', { metrics: METRICS }).pairs;
    const added = ['dE94t', 'dEcmc11', 'dE00kL2', 'din99o'];
    expect(Object.keys(all!).sort()).toEqual([...Object.keys(usual!), ...added].sort());
    for (const metric of METRICS) expect(all![metric]).toBeGreaterThan(0);
  });

  it('turn round with the standard, and CIE94 takes its weights from it', () => {
    const [there] = compared(PAIR, 'A', 'B').pairs;
    const [back] = compared(PAIR, 'B', 'A').pairs;
    expect(back!.da).toBe(-there!.da);
    expect(back!.dC).toBe(-there!.dC);
    expect(back!.dE94).not.toBe(there!.dE94);
  });

  it('are told under every light that both have', () => {
    const text =
      reading('A', spectrumLine('45/0', standardSpectrum)) + reading('B', spectrumLine('45/0', metamerOf(0.2)));
    const viewings = (['D65', 'A'] as const).flatMap((illuminant) => [
      { illuminant, observer: '10' as const },
      { illuminant, observer: '2' as const },
    ]);
    const { pairs } = compared(text, 'A', 'B', { viewings });
    expect(pairs.map((pair) => `${pair.illuminant}/${pair.observer}`)).toEqual(['D65/10', 'D65/2', 'A/10', 'A/2']);
    expect(pairs[0]!.dE00).toBeLessThan(0.001);
    expect(pairs[2]!.dE00).toBeGreaterThan(0.5);
  });
});

describe('the verdict', () => {
  const off = (dL: number) => reading('A', 'lab 45as15 50 0 0') + reading('B', `lab 45as15 ${50 + dL} 0 0`);
  const word = (dL: number) => compared(off(dL), 'A', 'B').verdict!.word;

  it('goes by the tolerances of the book', () => {
    // Near L* 50 the lightness weight of CIEDE2000 is 1, so dE00 is dL (ISO/CIE 11664-6).
    expect([0.9, 1.5, 3, 6].map(word)).toEqual(['holds edge to edge', 'blend', 'tint first', 'not near']);
    expect(compared(off(1.5), 'A', 'B').verdict).toMatchObject({
      sentence: expect.stringMatching(/^Blend: 45as15 is off by 1\.\d/),
      worst: '45as15',
    });
  });

  it('allows an angle its own tolerance, also above what blending is allowed in general', () => {
    const shop = entry('book "b"', 'tolerance 1.0 dE00', 'tolerance 45as15 3.0 dE00');
    const book = bookOf(shop + off(2.8));
    expect(compare(book, subject(book, 'A'), subject(book, 'B')).verdict!.word).toBe('holds edge to edge');
  });

  it('stands with the words before the figures, worst first', () => {
    const text =
      reading('A', 'lab 45as15 50 0 0', 'lab 45as110 20 0 0') +
      reading('B', 'lab 45as15 50.5 0 0', 'lab 45as110 18 0 0');
    const lines = compareText(compared(text, 'A', 'B', { viewings: MAIN })).split('\n');
    expect(lines[0]).toBe('reading B against the standard reading A:');
    expect(lines[1]).toMatch(/^A little lighter on the face; darker on the flop\./);
    expect(lines[2]).toMatch(/^Blend: 45as110 is off by /);
    const angles = lines.slice(-2).map((line) => /45as\d+/.exec(line)![0]);
    expect(angles).toEqual(['45as110', '45as15']);
  });
});

describe('readings that were not taken alike', () => {
  const lab = 'lab 45as15 50 0 0';
  const two = (a: string[], b: string[]) => reading('A', ...a, lab) + reading('B', ...b, lab);
  const cases: [string, string[], string[], RegExp][] = [
    ['surface', ['surface cleared'], ['surface uncleared'], /one surface is cleared, the other is not/],
    ['polish', ['surface cleared polished'], ['surface cleared unpolished'], /polished/],
    ['instrument', ['taken 2026-10-01 with I'], ['taken 2026-10-02 with J'], /read with two instruments, I and J/],
  ];

  it.each(cases)('are refused for the %s, unless one insists', (_, a, b, reason) => {
    const found = compared(two(a, b), 'A', 'B');
    expect(found.refused).toMatch(reason);
    expect([found.pairs, found.verdict]).toEqual([[], null]);
    const { notes, pairs } = compared(two(a, b), 'A', 'B', { anyway: true });
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(reason);
    expect(pairs).toHaveLength(1);
  });

  it('keep a note beside the figures for age and temperature', () => {
    const text = two(
      ['taken 2024-01-01 with I', 'surface cleared polished 12 C'],
      ['taken 2026-01-01 with I', 'surface cleared polished 24 C'],
    );
    expect(compared(text, 'A', 'B').notes).toEqual([
      'panels of 12 C and 24 C: more than 5 C apart, let the warm one cool',
      'taken 731 days apart, more than 365: a panel weathers',
    ]);
  });

  it('have nothing to compare without an angle or a light in common, whoever insists', () => {
    const angles = reading('A', 'lab 45/0 50 0 0') + reading('B', 'lab 45as15 50 0 0');
    expect(() => compared(angles, 'A', 'B', { anyway: true })).toThrow(/no angle in common \(45\/0 against 45as15\)/);
    const lights = reading('A', 'lab 45/0 50 0 0') + reading('B', 'lab 45/0 A/10 50 0 0');
    expect(() => compared(lights, 'A', 'B')).toThrow(/no colour under D65\/10, A\/10, F11\/10 in common/);
  });

  it('say which angles were left away', () => {
    const text = reading('A', lab, 'lab 45as45 40 0 0') + reading('B', lab);
    expect(compared(text, 'A', 'B').notes).toEqual(['not compared: 45as45, read on the standard only']);
  });
});

describe('flake appearance', () => {
  const flakes = (id: string, by: string, sparkle: number, grain: number) =>
    reading(id, `taken 2026-10-01 with ${by}`, 'lab 45as15 50 0 0', `sparkle 45as15 ${sparkle}`, `graininess ${grain}`);

  it('is compared within one instrument', () => {
    const { flakes: found } = compared(flakes('A', 'I', 4, 3) + flakes('B', 'I', 5.5, 2.5), 'A', 'B');
    expect(found).toEqual({
      compared: true,
      text: 'flakes: sparkle 1.5 stronger at 45as15; grain 0.5 finer',
      sparkle: [{ geometry: '45as15', difference: 1.5 }],
      graininess: -0.5,
    });
  });

  it('is not compared otherwise, and that is said', () => {
    const two = compared(flakes('A', 'I', 4, 3) + flakes('B', 'J', 5, 2), 'A', 'B', { anyway: true });
    expect(two.flakes).toMatchObject({ compared: false, sparkle: [], graininess: null });
    expect(two.flakes.text).toMatch(/^flake appearance not compared: I and J/);
    const none = compared(reading('A', 'lab 45as15 50 0 0') + reading('B', 'lab 45as15 50 0 0'), 'A', 'B');
    expect(compareText(none)).toContain('Flake appearance not compared: not measured on both.');
  });

  it('is not spoken of for a solid colour read at one angle', () => {
    const solid = compared(reading('A', 'lab 45/0 50 0 0') + reading('B', 'lab 45/0 50 0 0'), 'A', 'B');
    expect(compareText(solid)).not.toContain('lake');
  });
});

it('the JSON keeps its names', () => {
  const answer = compared(reading('A', 'lab 45/0 50 0 0') + reading('B', 'lab 45/0 51 0 0'), 'A', 'B');
  expect(Object.keys(answer).sort()).toEqual([
    'by',
    'differs',
    'flakes',
    'notes',
    'pairs',
    'refused',
    'sample',
    'standard',
    'unstated',
    'verdict',
  ]);
  expect(answer).toMatchObject({ standard: 'reading:A', sample: 'reading:B' });
  expect(Object.keys(answer.verdict!).sort()).toEqual(['illuminant', 'observer', 'sentence', 'word', 'worst']);
});

it('a formula is compared by the card that shows it as it is now', () => {
  const text =
    reading('STD', 'lab 45/0 50 0 0') +
    entry('formula F "f"', 'toner A 1') +
    entry('sprayout C of F', 'sprayed 2026-10-01', 'toner A 2', 'lab 45/0 50.4 0 0') +
    entry('formula G "g"', 'toner A 1');
  expect(compared(text, 'STD', 'F')).toMatchObject({ sample: 'formula:F', by: { standard: 'STD', sample: 'C' } });
  expect(() => compared(text, 'STD', 'G')).toThrow(/G is not sprayed yet/);
});
