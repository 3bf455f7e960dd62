import { describe, expect, it } from 'vitest';
import { coatsSvg } from '../../../../server/report/svg/coats.ts';

const point = (munsellValue: number, coats: number | null) => ({
  lightness: 10 * munsellValue + 1,
  munsellValue,
  coats,
});

describe('chart of coats against grey', () => {
  const points = [point(2, 4), point(5, 1.5), point(8, 3)];

  it('draws the line, the named grey open and the best full, and says it in words', () => {
    const svg = coatsSvg({ title: 'Coats <1>', points, named: point(8, 3), best: point(5, 1.5) });
    expect(svg).toContain('Coats &lt;1&gt;');
    expect(svg).toContain('named N8: 3');
    expect(svg).toContain('best N5: 1.5');
    expect(svg).toMatch(/fill="none" stroke="currentColor" stroke-width="1.5"/);
    expect(svg).toContain('aria-label="Coats &lt;1&gt;: coats over N2 4, N5 1.5, N8 3; best N5 1.5; named N8 3"');
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('breaks the line where nothing hides, and stands without any point', () => {
    const svg = coatsSvg({ title: 'T', points: [point(2, 3), point(4, null), point(6, 2), point(7, 2.5)] });
    expect(svg.match(/d="([^"]*)"/)![1]!.match(/M/g)).toHaveLength(2);
    expect(coatsSvg({ title: 'T', points: [] })).not.toMatch(/NaN|Infinity/);
  });
});
