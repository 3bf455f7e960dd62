import { describe, expect, it } from 'vitest';
import { entry } from '../../answers/entry.ts';
import { findingsFor, fixedBy, foundIn } from '../marked.ts';

const BOOK =
  entry('book "b"', 'scale 0.1 g') +
  entry('toner BLK-1 "k"', 'lot OLD opened 2026-01-01', 'lot NEW opened 2026-02-01') +
  entry('formula F "f"', 'toner BLK-1 1.5', 'toner BND-0 98.5');

describe('a closed batch', () => {
  const closed = BOOK + entry('batch B of F', 'make 100 g', 'poured BLK-1 1.5 g', 'closed 2026-10-14');

  it('is offered its recipe and the lots at hand', () => {
    const kept = fixedBy(closed, 'batch-unkept');
    expect(kept).toContain(
      '  closed 2026-10-14\n  toner BLK-1 1.5\n  toner BND-0 98.5\n  lot BLK-1 NEW\n  readability 0.1 g\n',
    );
    expect(findingsFor(kept, 'batch-unkept')).toEqual([]);
  });

  it('that keeps its recipe still lacks the scale, whose step the book may change', () => {
    const recipe = closed.replace('closed 2026', 'toner BLK-1 1.5\n  toner BND-0 98.5\n  closed 2026');
    const kept = fixedBy(recipe, 'batch-unkept');
    expect(kept).toContain('  lot BLK-1 NEW\n  readability 0.1 g\n');
    expect(findingsFor(kept, 'batch-unkept')).toEqual([]);
  });

  it('says who closed it', () => {
    expect(foundIn(closed).find((one) => one.code === 'batch-unsigned')).toMatchObject({ marked: '2026-10-14' });
    expect(findingsFor(closed.replace('closed 2026-10-14', 'closed 2026-10-14 by RO'), 'batch-unsigned')).toEqual([]);
  });
});

describe('an accepted tint', () => {
  // 0.3 g in 50 g poured of a formula of 100 parts: 0.60 parts.
  const tinted =
    BOOK +
    entry('batch B of F', 'make 50 g', 'poured BLK-1 0.8 g', 'poured BND-0 49.2 g', 'tinted BLK-1 0.3 g accepted');

  it('becomes a variant', () => {
    const found = foundIn(tinted).find((one) => one.code === 'tint-accepted')!;
    expect(found.problem).toContain('BLK-1 +0.60 parts');
    const written = fixedBy(tinted, 'tint-accepted');
    expect(written).toContain('\n\nvariant F/tinted "Tinted, batch B"\n  toner BLK-1 +0.60\n');
    expect(findingsFor(written, 'tint-accepted', 'id-shape', 'line-short')).toEqual([]);
  });

  it('is nothing to say of while it is not accepted', () => {
    expect(findingsFor(tinted.replace(' accepted', ''), 'tint-accepted')).toEqual([]);
  });
});
