/** The chart of a colour's path: true to scale, inside its frame, and legible without colours. */
import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { difference } from '../../../../server/colour/difference.ts';
import type { Lab } from '../../../../server/colour/lab.ts';
import { roundStep, ticks } from '../../../../server/report/svg/axis.ts';
import { ciede2000Contour, lightnessBand } from '../../../../server/report/svg/contour.ts';
import { labels } from '../../../../server/report/svg/labels.ts';
import { type PathChart, pathSvg } from '../../../../server/report/svg/path.ts';

const lab = fc.tuple(
  fc.double({ min: 0, max: 100, noNaN: true }),
  fc.double({ min: -60, max: 60, noNaN: true }),
  fc.double({ min: -60, max: 60, noNaN: true }),
) as fc.Arbitrary<Lab>;

const chart: fc.Arbitrary<PathChart> = fc
  .record({
    colours: fc.array(
      fc.record({ measured: fc.option(lab, { nil: undefined }), predicted: fc.option(lab, { nil: undefined }) }),
      { maxLength: 40 },
    ),
    standard: fc.option(fc.record({ lab, tolerance: fc.double({ min: 0.2, max: 5, noNaN: true }) }), {
      nil: undefined,
    }),
  })
  .map(({ colours, standard }) => ({
    title: 'At 45as25 <&>',
    steps: colours.map((one, index) => ({ number: index + 1, ...one })),
    standard,
  }));

/** Every element with its attributes; throws for what is no XML. */
function elements(svg: string): { readonly name: string; readonly attributes: Record<string, string> }[] {
  const found: { name: string; attributes: Record<string, string> }[] = [];
  const parser = new SaxesParser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) =>
    found.push({ name, attributes: attributes as Record<string, string> }),
  );
  parser.write(svg).close();
  return found;
}

describe('the path of a colour', () => {
  it('lies inside the picture whatever the colours, in ink alone', () => {
    fc.assert(
      fc.property(chart, (one) => {
        const svg = pathSvg(one);
        expect(svg).not.toMatch(/NaN|undefined|Infinity|#[0-9a-f]{3}/);
        const [root, ...rest] = elements(svg);
        const [, , width, height] = root!.attributes.viewBox!.split(' ').map(Number);
        for (const { name, attributes } of rest) {
          expect([undefined, 'none', 'currentColor']).toContain(attributes.fill);
          expect([undefined, 'currentColor']).toContain(attributes.stroke);
          if (name !== 'circle') continue;
          const [x, y] = [Number(attributes.cx), Number(attributes.cy)];
          expect(x > 0 && x < width! && y > 0 && y < height!).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('has one scale along a* and b*, and draws measured and predicted colours unlike', () => {
    const steps = [
      [50, 0, 0],
      [50, 3, 0],
      [50, 0, 2],
    ].map((measured, index) => ({ number: index + 1, measured: measured as unknown as Lab, predicted: undefined }));
    const dots = elements(pathSvg({ title: 't', steps, standard: undefined }))
      .filter(({ name }) => name === 'circle')
      .map(({ attributes }) => [Number(attributes.cx), Number(attributes.cy)] as const);
    const [o, a, b] = dots as [readonly [number, number], readonly [number, number], readonly [number, number]];
    expect((a[0] - o[0]) / 3).toBeCloseTo((o[1] - b[1]) / 2, 0);
    expect(a[1]).toBe(o[1]);
    const predicted = pathSvg({
      title: 't',
      steps: [{ number: 1, measured: undefined, predicted: [50, 0, 0] }],
      standard: undefined,
    });
    expect(predicted).toContain('stroke-dasharray="5 4"');
    expect(predicted).not.toContain('>measured<');
  });

  it('tells in words what it shows', () => {
    const svg = pathSvg({
      title: 'At 45/0',
      steps: [{ number: 3, measured: [50.04, -1, 2], predicted: undefined }],
      standard: { lab: [51, -1, 2], tolerance: 1 },
    });
    expect(elements(svg)[0]!.attributes['aria-label']).toBe(
      'At 45/0: 3 measured L* 50.0 a* -1.0 b* 2.0; standard L* 51.0 a* -1.0 b* 2.0',
    );
  });
});

describe('its parts', () => {
  it('the dotted line is as far from the standard as is allowed', () => {
    fc.assert(
      fc.property(lab, fc.double({ min: 0.2, max: 4, noNaN: true }), (standard, limit) => {
        for (const [a, b] of ciede2000Contour(standard, limit))
          expect(difference('dE00', standard, [standard[0], a, b])).toBeCloseTo(limit, 4);
        for (const L of lightnessBand(standard, limit))
          expect(difference('dE00', standard, [L, standard[1], standard[2]])).toBeCloseTo(limit, 4);
      }),
      { numRuns: 60 },
    );
  });

  it('lines stand at round figures', () => {
    expect([0.03, 0.2, 0.21, 3, 7, 120].map(roundStep)).toEqual([0.05, 0.2, 0.5, 5, 10, 200]);
    expect(ticks({ from: -1.2, to: 1.1, step: 0.5 }).map(({ words }) => words)).toEqual([
      '\u22121.0',
      '\u22120.5',
      '0.0',
      '0.5',
      '1.0',
    ]);
    expect(ticks({ from: 2.1, to: 2.2, step: 1 })).toEqual([]);
  });

  it('numbers at neighbouring points cover neither each other nor the points', () => {
    const points = [
      { x: 100, y: 100 },
      { x: 112, y: 96 },
    ];
    const places = labels(
      points.map((point, index) => ({ ...point, text: `${index + 1}` })),
      points,
    ).map((text) => /x="([^"]+)" y="([^"]+)"/.exec(text)!.slice(1).map(Number) as [number, number]);
    for (const [x, y] of places)
      for (const point of points) expect(Math.hypot(x + 3 - point.x, y - 4 - point.y)).toBeGreaterThan(6);
    expect(Math.hypot(places[0]![0] - places[1]![0], places[0]![1] - places[1]![1])).toBeGreaterThan(6);
  });
});
