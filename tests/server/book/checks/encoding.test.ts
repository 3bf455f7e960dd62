import { describe, expect, it } from 'vitest';
import { decodeBook } from '../../../../server/book/decode.ts';
import { findingsFor } from '../marked.ts';

describe('encoding', () => {
  it('marks what was no UTF-8, wherever it stands', () => {
    // "Grün" in Latin-1, and a stray continuation byte in a comment of no entry.
    const latin = new Uint8Array([
      ...Buffer.from('# \n\ntoner A "Gr'),
      0xfc,
      ...Buffer.from('n"\n  # '),
      0x80,
      0x81,
      0x0a,
    ]);
    expect(findingsFor(decodeBook(latin), 'encoding')).toEqual([
      { code: 'encoding', marked: '\ufffd' },
      { code: 'encoding', marked: '\ufffd\ufffd' },
    ]);
    expect(findingsFor('\ufffd', 'encoding')).toHaveLength(1);
  });

  it('does not bury the other findings of a file that is no text at all', () => {
    const told = findingsFor(`toner A "${'x\ufffd'.repeat(40)}"\n`, 'encoding');
    expect(told).toHaveLength(5);
  });

  it('is quiet about any other letters', () => {
    expect(findingsFor('toner A "Grün 漆 🎨"\n', 'encoding')).toEqual([]);
  });
});
