import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readLock } from '../../../server/book/optics/lock.ts';
import { mergeLock } from '../../../server/review/merge-lock.ts';
import { lockOf } from './lock.ts';

const keysOf = (text: string) =>
  Object.fromEntries(readLock(text).map(({ system, side, key }) => [`${system} ${side}`, key]));

const locks = fc.dictionary(fc.constantFrom('WB solid', 'WB effect', 'SB solid'), fc.constantFrom('k1', 'k2', 'k3'));

describe('merging optics.lock', () => {
  it('takes each fit from the side that learned it anew, and ours where both did', () => {
    const base = lockOf({ 'WB solid': 'k1', 'WB effect': 'k1', 'SB solid': 'k1' });
    const ours = lockOf({ 'WB solid': 'k2', 'WB effect': 'k1', 'SB solid': 'k2' });
    const theirs = lockOf({ 'WB solid': 'k1', 'WB effect': 'k3', 'SB solid': 'k3' });
    const { text, both, spoiled } = mergeLock(base, ours, theirs);
    expect(keysOf(text)).toEqual({ 'WB solid': 'k2', 'WB effect': 'k3', 'SB solid': 'k2' });
    expect(both).toEqual(['solid SB']);
    expect(spoiled).toBe(false);
  });

  it('takes the side that can be read; where none can, ours stays and it is said', () => {
    const good = lockOf({ 'WB solid': 'k1' });
    const bad = '<<<<<<< ours\n{\n=======\n>>>>>>> theirs\n';
    expect(mergeLock(good, bad, good)).toEqual({ text: good, both: [], spoiled: false });
    expect(mergeLock(good, good, bad)).toEqual({ text: good, both: [], spoiled: false });
    expect(mergeLock(good, bad, '')).toEqual({ text: bad, both: [], spoiled: true });
  });

  it('of a thing with itself is that; an unchanged side yields the other; every fit is one of a side', () => {
    fc.assert(
      fc.property(locks, locks, locks, (o, a, b) => {
        const [base, ours, theirs] = [o, a, b].map(lockOf) as [string, string, string];
        expect(mergeLock(base, ours, ours)).toMatchObject({ text: ours, both: [] });
        if (Object.keys(a).length > 0 && Object.keys(b).length > 0) {
          expect(keysOf(mergeLock(base, base, theirs).text)).toEqual(Object.keys(o).length > 0 ? b : keysOf(theirs));
          expect(mergeLock(base, ours, base).text).toBe(ours);
        }
        for (const [name, key] of Object.entries(keysOf(mergeLock(base, ours, theirs).text)))
          expect([a[name], b[name]]).toContain(key);
      }),
    );
  });
});
