import { describe, expect, it } from 'vitest';
import { entry, reading } from '../../answers/entry.ts';
import { metamerOf, spectrumLine, standardSpectrum } from '../../answers/metamers.ts';
import { foundIn } from '../marked.ts';

const darker = { ...standardSpectrum, values: standardSpectrum.values.map((value) => value * 0.8) };

const found = (
  card: string,
  { shop = ['illuminants D65/10 A/10 F11/10', 'tolerance 1.0 dE00'], parts = 'toner A 1' } = {},
) =>
  foundIn(
    entry('book "b"', ...shop) +
      reading('STD', spectrumLine('45/0', standardSpectrum)) +
      entry('formula F "f"', 'standard STD', 'toner A 1', 'toner B 1') +
      entry('sprayout C of F', parts, 'toner B 1', card),
  )
    .filter((one) => one.code === 'metamerism')
    .map(({ problem, marked, severity }) => ({ problem, marked, severity }));

describe('metamerism', () => {
  it('marks a card that matches in daylight and parts under another light of the book', () => {
    const [one] = found(spectrumLine('45/0', metamerOf(0.6)));
    expect(one).toMatchObject({ marked: 'C', severity: 'warning' });
    expect(one!.problem).toMatch(
      /^This card holds under D65\/10 and breaks under (A|F11)\/10: at 45\/0 it is off by \d+\.\d.*, more than the 1 that the book allows \(0\.0 under D65\/10\)\.$/,
    );
  });

  it('is silent where the match holds under every light, or where there is no other light', () => {
    expect(found(spectrumLine('45/0', standardSpectrum))).toEqual([]);
    expect(found(spectrumLine('45/0', metamerOf(0.02)))).toEqual([]);
    expect(found(spectrumLine('45/0', metamerOf(0.6)), { shop: ['illuminants D65/10'] })).toEqual([]);
    expect(found(spectrumLine('45/0', metamerOf(0.6)), { shop: ['illuminants D65/10 D65/2'] })).toEqual([]);
    expect(
      found(spectrumLine('45/0', metamerOf(0.6)), { shop: ['illuminants D65/10 A/10', 'tolerance 9 dE00'] }),
    ).toEqual([]);
  });

  it('is silent where the card is off in daylight already, has no spectrum, or shows an earlier formula', () => {
    expect(found(spectrumLine('45/0', darker))).toEqual([]);
    expect(found('lab 45/0 50 0 0')).toEqual([]);
    expect(found(spectrumLine('45/0', metamerOf(0.6)), { parts: 'toner A 2' })).toEqual([]);
  });
});
