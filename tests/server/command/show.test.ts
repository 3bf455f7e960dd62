import { expect, it } from 'vitest';
import { entry, reading, SHOP } from '../answers/entry.ts';
import { metamerOf, spectrumLine, standardSpectrum } from '../answers/metamers.ts';
import { folderOf, pourbook } from './shop.ts';

const BOOK =
  SHOP +
  reading('STD', 'taken 2026-10-02T09:00 with I', spectrumLine('45/0', standardSpectrum)) +
  reading('R', 'taken 2026-10-02T10:00 with I', spectrumLine('45/0', metamerOf(0.2))) +
  entry('instrument I "45/0"', 'geometry 45/0', 'calibrated 2026-10-01T08:00') +
  entry('system WB "Waterborne"');

it('gives every combination of lights and observers', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { code, out } = await pourbook(
    folder,
    'show',
    'R',
    '--illuminant',
    'D65,A,F11',
    '--observer',
    '10,2',
    '--json',
  );
  expect(code).toBe(0);
  const { colours } = JSON.parse(out);
  expect(colours.map((one: { illuminant: string; observer: string }) => `${one.illuminant}/${one.observer}`)).toEqual([
    'D65/10',
    'D65/2',
    'A/10',
    'A/2',
    'F11/10',
    'F11/2',
  ]);
});

it('takes what is not said from the book', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const lights = async (...args: string[]) => {
    const { colours } = JSON.parse((await pourbook(folder, 'show', 'R', '--json', ...args)).out);
    return colours.map((one: { illuminant: string; observer: string }) => `${one.illuminant}/${one.observer}`);
  };
  expect(await lights()).toEqual(['D65/10', 'A/10', 'F11/10']);
  expect(await lights('--observer', '2')).toEqual(['D65/2', 'A/2', 'F11/2']);
  expect(await lights('--illuminant', 'd50')).toEqual(['D50/10']);
});

it('adds metamerism against a standard', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const { code, out } = await pourbook(folder, 'show', 'R', '--against', 'STD', '--json');
  expect(code).toBe(0);
  const { metamerism, flopIndex, flopReason } = JSON.parse(out);
  expect(metamerism.map((one: { illuminant: string }) => one.illuminant)).toEqual(['A', 'F11']);
  expect(metamerism[0].multiplicative.dE00).toBeGreaterThan(0.5);
  expect(flopIndex).toBeNull();
  expect(flopReason).toContain('45as15');
  const text = (await pourbook(folder, 'show', 'R', '--against', 'STD')).out;
  expect(text).toContain('Metamerism against STD, made equal under D65:');
  expect(text).toMatch(/It parts most under (A|F11)\/10 at 45\/0, by \d+\.\d dE00\./);
});

it('shows an instrument', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  expect((await pourbook(folder, 'show', 'I')).out).toContain(
    'Calibrate again before 2026-10-04T08:00: the last was 2026-10-01T08:00, and the book wants one every 3 days.',
  );
});

it('tells what is wrong with the question', async () => {
  const folder = await folderOf({ 'book.pour': BOOK });
  const wrong = async (...args: string[]) => {
    const { code, out, err } = await pourbook(folder, 'show', ...args);
    expect([code, out]).toEqual([2, '']);
    return err;
  };
  expect(await wrong('STT')).toContain("Did you mean 'STD'?");
  expect(await wrong('WB')).toContain('There is nothing to compute for WB.');
  expect(await wrong('R', '--illuminant', 'D64')).toContain("'D64' is not an illuminant known here");
  expect(await wrong('R', '--observer', '5')).toContain("'5' is not an observer");
  expect(await wrong('R', '--against', 'I')).toContain('I has no colour of its own');
  expect(await wrong('R', '--book', 'elsewhere')).toContain('There is no folder');
});

it('learns the toners for a formula, whose colour it predicts, and for nothing else', async () => {
  const card = entry('sprayout F-card of F', 'toner WHT 90', 'toner BLK 10', spectrumLine('45/0', metamerOf(0.1)));
  const folder = await folderOf({
    'book.pour':
      BOOK +
      entry('toner WHT "White"', 'system WB', 'kind white') +
      entry('toner BLK "Black"', 'system WB', 'kind black') +
      entry('formula F "Grey"', 'system WB', 'finish solid', 'standard STD', 'toner WHT 90', 'toner BLK 10') +
      card,
  });
  expect((await pourbook(folder, 'show', 'R')).err).toBe('');
  expect((await pourbook(folder, 'show', 'F-card')).err).toBe('');
  const { out, err } = await pourbook(folder, 'show', 'F', '--json');
  expect(err).toMatch(/toners were learned anew/);
  // Four decimals at most, as everywhere in JSON.
  const [first] = JSON.parse(out).difference;
  for (const value of [first.dE00, ...first.standard, ...first.sample]) expect(value).toBe(Number(value.toFixed(4)));
});
