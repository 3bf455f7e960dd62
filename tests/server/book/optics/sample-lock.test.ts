import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { LOCK_NAME, readLock } from '../../../../server/book/optics/lock.ts';
import { putFits, unlearnedSamples } from '../../../../server/book/optics/optics.ts';
import { loadBook } from '../../../../server/command/load.ts';

const samples = join(import.meta.dirname, '../../../../samples');

it('the sample book’s optics.lock is of its cards as they are (else: pourbook fit --write --book samples)', async () => {
  const book = await loadBook(samples);
  putFits(book, readLock(await readFile(join(samples, LOCK_NAME), 'utf8')));
  expect(unlearnedSamples(book)).toEqual([]);
});
