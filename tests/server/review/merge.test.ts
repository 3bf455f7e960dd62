/** The rule table of server/review/merge.md, and its laws. Plain git (`git merge-file`) is the other side of the comparison. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { applied, formatText } from '../../../grammar/printer.ts';
import { merge, UNSEEN } from '../../../server/review/merge.ts';
import { type Edit, editsOf, printed, type Shelf, shelf } from './edits.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourbook-merge-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Does plain git find a conflict? */
function gitConflicts(base: string, ours: string, theirs: string): boolean {
  const files = [ours, base, theirs].map((text, index) => {
    const file = join(folder, `${index}`);
    writeFileSync(file, text);
    return file;
  });
  const { status } = spawnSync('git', ['merge-file', '-p', ...files]);
  expect(status).not.toBeNull();
  return status !== 0;
}

interface Case {
  readonly base: Shelf;
  readonly ours: Edit;
  readonly theirs: Edit;
}

/** Pairs of edits that fit, from generated books. */
function casesOf(fits: (ours: Edit, theirs: Edit) => boolean, seed: number): Generator<Case> {
  return (function* () {
    for (const [index, base] of fc.sample(shelf, { seed, numRuns: 600 }).entries()) {
      const [a, b] = [editsOf(base, 7), editsOf(base, 8)];
      const pairs = a.flatMap((ours) =>
        b.filter((theirs) => fits(ours, theirs)).map((theirs) => ({ base, ours, theirs })),
      );
      if (pairs.length > 0) yield pairs[(index * 7919) % pairs.length]!;
    }
  })();
}

const sides = ({ base, ours, theirs }: Case) =>
  [printed(base), printed(ours.make(base)), printed(theirs.make(base))] as const;

const withoutRemark = (text: string) =>
  text
    .split('\n')
    .filter((line) => line.trim() !== UNSEEN)
    .join('\n');

/** Disjoint by the table, on the same or the next line of one entry. */
const disjoint = (a: Edit, b: Edit): boolean =>
  a.entry === b.entry && a.about !== b.about && Math.abs(a.row - b.row) <= 1 && !atOnePlace(a, b);

/** A toner that was brought in before one that the other side took out stands where the gap of that one closes. */
const atOnePlace = (a: Edit, b: Edit): boolean => a.what === 'bring in' && b.what === 'bring in' && a.row === b.row;

describe('200 generated two-sided edits', () => {
  it('that the table calls disjoint and plain git conflicts on all resolve to both edits', () => {
    let tried = 0;
    for (const one of casesOf(disjoint, 31)) {
      const [base, ours, theirs] = sides(one);
      if (!gitConflicts(base, ours, theirs)) continue;
      const merged = merge(base, ours, theirs);
      expect(merged.conflicts, `${one.ours.what} ${one.ours.about} | ${one.theirs.what} ${one.theirs.about}`).toEqual(
        [],
      );
      expect(withoutRemark(merged.text)).toBe(printed(bothMade(one)));
      if (++tried === 200) break;
    }
    expect(tried).toBe(200);
  });

  it('that the table calls conflicts are none of them resolved in silence', () => {
    const clash = (a: Edit, b: Edit) => a.about === b.about && !(a.what === 'take out' && b.what === 'take out');
    let tried = 0;
    for (const one of casesOf(clash, 47)) {
      const [base, ours, theirs] = sides(one);
      const merged = merge(base, ours, theirs);
      expect(merged.conflicts.length, `${one.ours.what} | ${one.theirs.what} ${one.ours.about}`).toBeGreaterThan(0);
      expect(merged.text).toMatch(/^<{7} ours$[\s\S]*^={7}$[\s\S]*^>{7} theirs$/m);
      expect(sideOf(merged.text, 'ours')).toBe(ours);
      expect(sideOf(merged.text, 'theirs')).toBe(theirs);
      if (++tried === 200) break;
    }
    expect(tried).toBe(200);
  });
});

const squeezed = (text: string) => text.replace(/[ \t]+/g, ' ');

/** A toner is found by the code of its neighbour: what takes that out is made last. */
function bothMade({ base, ours, theirs }: Case): Shelf {
  return ours.what === 'take out' ? ours.make(theirs.make(base)) : theirs.make(ours.make(base));
}

/** A text with its conflicts resolved to one side. */
function sideOf(text: string, side: 'ours' | 'theirs'): string {
  return text.replace(/^<{7} ours\n([\s\S]*?)^={7}\n([\s\S]*?)^>{7} theirs\n/gm, side === 'ours' ? '$1' : '$2');
}

describe('laws', () => {
  const edited = fc.tuple(shelf, fc.nat(), fc.nat(), fc.nat()).map(([base, i, j, k]) => {
    const [a, b] = [editsOf(base, 7), editsOf(base, 8)];
    const first = a[i % a.length]!.make(base);
    const more = editsOf(first, 6);
    return [printed(base), printed(more[k % more.length]!.make(first)), printed(b[j % b.length]!.make(base))] as const;
  });

  it('x with x is x', () => {
    fc.assert(
      fc.property(edited, ([base, ours]) => {
        expect(merge(base, ours, ours).text).toBe(ours);
      }),
      { numRuns: 50 },
    );
  });

  it('an unchanged side yields the other', () => {
    fc.assert(
      fc.property(edited, ([base, ours]) => {
        expect(merge(base, ours, base).text).toBe(ours);
        expect(merge(base, base, ours).text).toBe(ours);
      }),
      { numRuns: 50 },
    );
  });

  it('is the same whichever side is ours, but for the order in a conflict', () => {
    fc.assert(
      fc.property(edited, ([base, a, b]) => {
        const [one, other] = [merge(base, a, b), merge(base, b, a)];
        expect(one.conflicts.length).toBe(other.conflicts.length);
        expect(sideOf(one.text, 'ours')).toBe(sideOf(other.text, 'theirs'));
        expect(sideOf(one.text, 'theirs')).toBe(sideOf(other.text, 'ours'));
      }),
      { numRuns: 200 },
    );
  });

  it('a side that was only formatted does not stand in the way', () => {
    fc.assert(
      fc.property(edited, ([base, ours]) => {
        const formatted = applied(base, formatText(base));
        const { text, conflicts } = merge(base, ours, formatted);
        expect(conflicts).toEqual([]);
        expect(squeezed(withoutRemark(text))).toBe(squeezed(ours));
      }),
      { numRuns: 50 },
    );
  });
});

const BASE = `formula A "a"
  target weight 250 g
  toner X 1.0
  toner Y 2.0 # stir it
  toner Z 3.0
  note "n"

# of the tailgate
variant A/dark "dark"
  toner X +1
`;
const change = (...pairs: readonly (readonly [string, string])[]) =>
  pairs.reduce((text, [from, to]) => {
    expect(text).toContain(from);
    return text.replace(from, to);
  }, BASE);

describe('one rule at a time', () => {
  it('a value on one side, its comment on the other', () => {
    const merged = merge(BASE, change(['# stir it', '# shake it']), change(['Y 2.0', 'Y 2.5']));
    expect(merged).toMatchObject({ conflicts: [], unseen: [] });
    expect(merged.text).toBe(change(['Y 2.0 # stir it', 'Y 2.5 # shake it']));
  });

  it('toners brought in at different places', () => {
    const merged = merge(
      BASE,
      change(['  toner Y', '  toner P 1\n  toner Y']),
      change(['  note', '  toner Q 1\n  note']),
    );
    expect(merged.conflicts).toEqual([]);
    expect(merged.unseen).toEqual(['formula:A']);
    expect(withoutRemark(merged.text)).toBe(
      change(['  toner Y', '  toner P 1\n  toner Y'], ['  note', '  toner Q 1\n  note']),
    );
  });

  it('toners brought in at one place, also where one of them stands beside what the other took out', () => {
    const merged = merge(
      BASE,
      change(['  toner Y 2.0 # stir it\n', '  toner P 1\n']),
      change(['  toner Y', '  toner Q 1\n  toner Y']),
    );
    expect(merged.conflicts.map(({ why }) => why)).toContain(
      'both sides brought lines in at one place of the pour order',
    );
  });

  it('one toner moved, another brought in', () => {
    const moved = change(['  toner X 1.0\n', ''], ['  note', '  toner X 1.0\n  note']);
    expect(merge(BASE, moved, change(['  note', '  toner Q 1\n  note'])).conflicts).toHaveLength(1);
    expect(merge(BASE, moved, change(['Z 3.0', 'Z 3.5'])).conflicts).toEqual([]);
  });

  it('one note edited on both sides, and one more on each', () => {
    expect(merge(BASE, change(['"n"', '"m"']), change(['"n"', '"k"'])).conflicts).toHaveLength(1);
    const both = merge(BASE, change(['"n"', '"n"\n  note "m"']), change(['"n"', '"n"\n  note "k"']));
    expect(both.conflicts).toEqual([]);
    expect(both.text).toBe(change(['"n"', '"n"\n  note "k"\n  note "m"']));
  });

  it('a toner left out of a variant by one side and changed by the other', () => {
    expect(merge(BASE, change(['toner X +1', 'without X']), change(['X +1', 'X +2'])).conflicts).toHaveLength(1);
  });

  it('an entry taken out', () => {
    const without = BASE.slice(0, BASE.indexOf('\n# of'));
    expect(merge(BASE, without, change(['Z 3.0', 'Z 3.5'])).text).toBe(without.replace('Z 3.0', 'Z 3.5'));
    const edited = merge(BASE, without, change(['X +1', 'X +2']));
    expect(edited.conflicts).toEqual([
      {
        entry: 'formula:A/dark',
        why: 'one side took out the entry that the other changed (look whether it was moved to another file)',
      },
    ]);
  });

  it('an entry renamed on one side and edited on the other', () => {
    const merged = merge(BASE, BASE.replaceAll('A', 'B'), change(['Y 2.0', 'Y 2.5'], ['X +1', 'X +2']));
    expect(merged.conflicts).toEqual([]);
    expect(withoutRemark(merged.text)).toBe(change(['Y 2.0', 'Y 2.5'], ['X +1', 'X +2']).replaceAll('A', 'B'));
  });

  it('a variant on one side and its parent on the other is a paint that nobody has seen', () => {
    const merged = merge(BASE, change(['X 1.0', 'X 1.5']), change(['X +1', 'X +2']));
    expect(merged.unseen).toEqual(['formula:A/dark']);
    expect(merged.text).toContain(`variant A/dark "dark"\n  ${UNSEEN}\n`);
  });

  it('new entries of both sides at one place', () => {
    const [p, q] = [`${BASE}\nformula P "p"\n  toner X 1\n`, `${BASE}\nformula Q "q"\n  toner X 1\n`];
    const { text, conflicts } = merge(BASE, q, p);
    expect(conflicts).toEqual([]);
    expect(text).toContain('formula P');
    expect(text.indexOf('formula P')).toBeLessThan(text.indexOf('formula Q'));
    expect(merge(BASE, p, p.replace('X 1\n', 'X 2\n')).conflicts).toHaveLength(1);
  });

  it('line ends and byte order mark stay with the side that changed them', () => {
    const windows = BASE.replaceAll('\n', '\r\n');
    const ours = change(['Y 2.0', 'Y 2.5']);
    expect(merge(windows, ours.replaceAll('\n', '\r\n'), windows.replace('Z 3.0', 'Z 3.5')).text).toBe(
      withRemark(change(['Y 2.0', 'Y 2.5'], ['Z 3.0', 'Z 3.5'])).replaceAll('\n', '\r\n'),
    );
    expect(merge(BASE, ours, windows).text).toBe(ours.replaceAll('\n', '\r\n'));
    expect(merge(BASE, ours, `\uFEFF${BASE}`).text).toBe(`\uFEFF${ours}`);
    expect(merge(BASE, ours, BASE.trimEnd()).text).toBe(ours.trimEnd());
  });

  it('what stands above the first entry is kept, and merged as an entry is', () => {
    const top = '# All greens.\n# Stir them.\n\n# ---- A ----\n\n';
    const file = (words: string, entry: string) => words + entry;
    const [ours, theirs] = [change(['Y 2.0', 'Y 2.5']), change(['Z 3.0', 'Z 3.5'])];
    const both = withRemark(change(['Y 2.0', 'Y 2.5'], ['Z 3.0', 'Z 3.5']));
    expect(merge(file(top, BASE), file(top, ours), file(top, theirs)).text).toBe(file(top, both));
    expect(merge(file(top, BASE), file(top.replace('Stir', 'Shake'), ours), file(top, theirs)).text).toBe(
      file(top.replace('Stir', 'Shake'), both),
    );
    expect(merge(BASE, ours, file(top, theirs)).text).toBe(file(top, both));
    expect(merge(file(top, BASE), ours, file(top, theirs)).text).toBe(both);
    const unlike = merge(
      file(top, BASE),
      file(top.replace('Stir', 'Shake'), BASE),
      file(top.replace('Stir', 'Warm'), BASE),
    );
    expect(unlike.conflicts).toHaveLength(1);
    expect(unlike.text).toContain('# Shake them.');
    expect(unlike.text).toContain('# Warm them.');
  });

  it('a side with an open conflict is not merged further', () => {
    const open = change(['  note "n"\n', '<<<<<<< a\n  note "m"\n=======\n  note "k"\n>>>>>>> b\n']);
    expect(merge(BASE, open, change(['Y 2.0', 'Y 2.5'])).conflicts).toHaveLength(1);
  });

  it('lists of numbers and lines that cannot be read', () => {
    const base = 'reading R "r"\n  spectrum 45/0 400..500/100 0.1\n    0.2\n  lab 45as15 1 2 3\n  nonsense here\n';
    const merged = merge(
      base,
      base.replace('0.2', '0.3'),
      base.replace('1 2 3', '1 2 4').replace('nonsense here', 'nonsense there'),
    );
    expect(merged).toMatchObject({ conflicts: [] });
    expect(merged.text).toBe(
      base.replace('0.2', '0.3').replace('1 2 3', '1 2 4').replace('nonsense here', 'nonsense there'),
    );
    expect(merge(base, base.replace('0.2', '0.3'), base.replace('0.2', '0.4')).conflicts).toHaveLength(1);
  });
});

const withRemark = (text: string) => text.replace('"a"\n', `"a"\n  ${UNSEEN}\n`);

describe('in the files of the sample book', () => {
  const folder = new URL('../../../samples/book/', import.meta.url);
  const files = readdirSync(folder).filter((name) => name.endsWith('.pour'));

  it.each(files)(
    '%s: a figure changed on each side, in two lines of unlike keys, and nothing else is touched',
    (name) => {
      const lines = readFileSync(new URL(name, folder), 'utf8').split('\n');
      // Lines that are known by their word and what they are about; each stands once in its entry.
      const single = lines.flatMap((line, at) =>
        /^ {2}(toner|price|target weight|film|density|solids) .*\d/.test(line) ? [at] : [],
      );
      const changed = (...at: readonly number[]) =>
        lines
          .map((line, index) =>
            at.includes(index) ? line.replace(/(\d)(?=\D*$)/, (digit) => String((Number(digit) + 1) % 10)) : line,
          )
          .join('\n');
      for (let pair = 0; pair + 1 < single.length; pair += 7) {
        const [a, b] = [single[pair]!, single[(pair * 5 + 1) % single.length]!];
        if (a === b) continue;
        const merged = merge(lines.join('\n'), changed(a), changed(b));
        expect(merged.conflicts).toEqual([]);
        expect(withoutRemark(merged.text)).toBe(changed(a, b));
      }
    },
  );
});
