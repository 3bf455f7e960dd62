import { expect, it } from 'vitest';
import { fixedBy, foundIn } from '../marked.ts';

const BOOK = `book "b"
  scale 0.1 g capacity 1 kg
scale FINE "f"
  readability 0.01 g
  capacity 200 g
scale FLOOR "f"
  readability 1 g
scale YARD "y"
  readability 5 g
formula F "f"
  toner A 1
  toner B 1
batch B of F
`;
const found = (...lines: string[]) =>
  foundIn(BOOK + lines.map((line) => `  ${line}\n`).join('')).filter((one) => one.code === 'scale-load');

it('a batch heavier than its scale carries is told, with the finest scale that does', () => {
  expect(found('make 1 kg')).toEqual([]);
  expect(found('make 200 g', 'scale FINE')).toEqual([]);
  expect(found('make 2000 kg', 'scale FLOOR')).toEqual([]);
  const [bench] = found('make 1.2 kg');
  expect(bench).toMatchObject({
    marked: '1.2 kg',
    problem: 'The bench scale carries 1000 g; this batch is 1200.0 g without its cup.',
    remedy: 'Weigh it on FLOOR, or make less.',
  });
  const fine = `${BOOK}  make 300 g\n  scale FINE\n`;
  expect(found('make 300 g', 'scale FINE')[0]!.marked).toBe('FINE');
  expect(fixedBy(fine, 'scale-load')).toContain('scale FLOOR');
  expect(fixedBy(`${BOOK}  make 1.2 kg\n`, 'scale-load')).toContain('make 1.2 kg\n  scale FLOOR\n');
});

it('counts what is in the cup already, and leaves a closed batch alone', () => {
  expect(found('make 190 g', 'scale FINE', 'poured A 150 g', 'poured B 60 g')).toHaveLength(1);
  expect(found('make 300 g', 'scale FINE', 'poured A 300 g', 'closed 2026-10-02')).toEqual([]);
});
