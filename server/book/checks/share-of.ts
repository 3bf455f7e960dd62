import type { Finding, Fix } from '../../../grammar/finding.ts';
import { type Line, linesOf, value } from '../../../grammar/tree.ts';
import { systemIn } from '../known.ts';
import { type Check, finding } from './check.ts';

export const shareOf: Check = {
  pages: [
    {
      code: 'share-of',
      title: 'A percentage without its base',
      text: 'Shops differ on what "10 %" of reducer means: of the paint alone, of the mix of paint and hardener, or of the whole when it is in. With paint and hardener at 2:1 that is 20 ml or 30 ml to 200 ml, enough to miss a VOC limit. Say which: `10 % of paint`, `10 % of mix`, `10 % of whole`, and whether it is measured `by volume` or `by weight`. Until then nothing is computed from the line.',
    },
    {
      code: 'viscosity-cup',
      title: 'A flow time without its cup',
      text: 'Seconds of one flow cup are not seconds of another, even with the same hole. Name the cup, such as `viscosity 40 s cup ISO-2431 4 mm`.',
    },
  ],
  in: ['system'],
  acrossFiles: false,
  *find(book, cell) {
    for (const { line, of, by } of systemIn(book, cell).added) {
      if (!of) yield withoutBase(line);
      else if (!by) yield withoutMeasure(line);
    }
    for (const line of linesOf(cell.entry, 'viscosity')) {
      if (value(line, 'seconds') && !value(line, 'cup'))
        yield finding(
          'viscosity-cup',
          'warning',
          value(line, 'seconds')!,
          'A flow time means nothing without its cup.',
          "Write for example 'viscosity 40 s cup ISO-2431 4 mm'.",
        );
    }
  },
};

function withoutBase(line: Line): Finding {
  const share = value(line, 'share')!;
  const fix = (base: string, what: string): Fix => ({
    title: `Of ${what}`,
    edits: [{ from: share.to, to: share.to, text: ` of ${base}` }],
  });
  return finding(
    'share-of',
    'error',
    share,
    `${share.text} % of what?`,
    "Write 'of paint', 'of mix' or 'of whole' behind it.",
    {
      fixes: [
        fix('paint', 'the paint alone'),
        fix('mix', 'the mix before it, hardener and all'),
        fix('whole', 'the whole when it is in'),
      ],
    },
  );
}

function withoutMeasure(line: Line): Finding {
  const at = line.values.filter((one) => ['share', 'of', 'parts', 'paint'].includes(one.place)).at(-1)!;
  const end = Math.max(
    at.to,
    ...line.words.filter((one) => one.text === 'of' || one.text === 'paint').map((one) => one.to),
  );
  return finding(
    'share-of',
    'error',
    at,
    'Measured by volume or by weight?',
    "Write 'by volume' or 'by weight' behind it.",
    {
      fixes: ['volume', 'weight'].map((by) => ({
        title: `By ${by}`,
        edits: [{ from: end, to: end, text: ` by ${by}` }],
      })),
    },
  );
}
