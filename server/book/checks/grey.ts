import type { Finding } from '../../../grammar/finding.ts';
import type { Line, Value } from '../../../grammar/tree.ts';
import { lightnessOfValue } from '../../paint/munsell.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import type { Undercoat, UndercoatStep } from '../entries/toner.ts';
import { type Grey, greyIn, isOnScale } from '../entries/written.ts';
import { undercoatIn, undercoatNamed } from '../known.ts';
import { type Check, finding, headOf } from './check.ts';

export const grey: Check = {
  pages: [
    {
      code: 'grey-off-scale',
      title: 'A grey that is not on the scale',
      text: 'Greys are written by the Munsell neutral value, N0 (black) to N10 (white), or by the CIE lightness, L* 0 to L* 100. The two are not ten times each other: N5 is L* 51.0.',
    },
    {
      code: 'grey-out-of-reach',
      title: 'A grey that the undercoat cannot be mixed to',
      text: 'An undercoat is mixed between its lightest and its darkest measured step; a grey beyond these ends is in none of its cans. Ask for a grey between the ends, or add a lighter or darker step to the undercoat.',
    },
    {
      code: 'grey-ends',
      title: 'An undercoat without its two ends',
      text: 'Greys between the measured steps can be computed only when the undercoat lists two ends, a light and a dark grey of one toner each. Without them it can be mixed to the listed steps alone.',
    },
    {
      code: 'grey-order',
      title: 'More of the dark toner, yet lighter',
      text: 'More of the dark toner has to make the undercoat darker. Where a step says otherwise, its grey or its parts are miswritten, and nothing can be computed between the steps.',
    },
  ],
  in: ['undercoat', 'formula', 'variant', 'sprayout', 'drawdown'],
  acrossFiles: true,
  *find(book, cell) {
    const { kind, lines } = cell.entry;
    for (const line of lines) {
      const at = line.values.find((value) => value.type === 'grey');
      const written = at && greyIn(line);
      if (!written) continue;
      if (!isOnScale(written)) yield offScale(written, at);
      else if (kind === 'formula' || kind === 'variant') yield* outOfReach(book, line, written, at);
    }
    if (kind === 'undercoat') yield* steps(cell, undercoatIn(book, cell));
  },
};

const lightness = ({ scale, value }: Grey): number => (scale === 'N' ? lightnessOfValue(value) : value);

function offScale(written: Grey, at: Value): Finding {
  const asLightness = written.scale === 'N' && written.value <= 100;
  return finding(
    'grey-off-scale',
    'error',
    at,
    written.scale === 'N'
      ? `There is no grey ${written.text}: the Munsell neutral scale runs from N0 to N10.`
      : `There is no grey ${written.text}: lightness runs from L* 0 to L* 100.`,
    asLightness
      ? `Write a value between N0 and N10; if a lightness is meant, write L* ${written.value}.`
      : 'Write N0 (black) to N10 (white), or L* 0 to L* 100.',
    asLightness
      ? { fixes: [{ title: `Write L* ${written.value}`, edits: [{ ...span(at), text: `L* ${written.value}` }] }] }
      : {},
  );
}

const span = ({ from, to }: Value) => ({ from, to });

function* outOfReach(book: Book, line: Line, written: Grey, at: Value): Generator<Finding> {
  const named = line.values.find((value) => value.place === 'undercoat');
  const steps = named && undercoatNamed(book, named.text)?.steps.filter((step) => isOnScale(step.grey));
  if (!named || !steps || steps.length === 0) return;
  const sorted = [...steps].sort((a, b) => lightness(a.grey) - lightness(b.grey));
  const [darkest, lightest] = [sorted[0]!.grey, sorted.at(-1)!.grey];
  const wanted = lightness(written);
  if (wanted >= lightness(darkest) - 1e-6 && wanted <= lightness(lightest) + 1e-6) return;
  const nearest = wanted < lightness(darkest) ? darkest : lightest;
  yield finding(
    'grey-out-of-reach',
    'error',
    at,
    `${named.text} cannot be mixed to ${written.text}: it reaches from ${darkest.text} to ${lightest.text}.`,
    `Ask for a grey between these (the nearest is ${nearest.text}), or add a step to the undercoat.`,
    { fixes: [{ title: `Write ${nearest.text}`, edits: [{ ...span(at), text: nearest.text }] }] },
  );
}

function* steps(cell: EntryCell, undercoat: Undercoat): Generator<Finding> {
  const listed = undercoat.steps.filter((step) => isOnScale(step.grey) && step.toners.length > 0);
  const sorted = [...listed].sort((a, b) => lightness(b.grey) - lightness(a.grey));
  const single = sorted.filter((step) => step.toners.length === 1);
  const [light, dark] = [single[0]?.toners[0]?.code, single.at(-1)?.toners[0]?.code];
  if (light === undefined || dark === undefined || light === dark) {
    yield finding(
      'grey-ends',
      'warning',
      headOf(cell.entry),
      'This undercoat lists no light and dark end of one toner each, so no grey between its steps can be computed.',
      'Add both ends, for example: grey N9.5 toner SEAL-W 100 and grey N2 toner SEAL-K 100',
    );
    return;
  }
  let before: UndercoatStep | undefined;
  for (const step of sorted) {
    if (before && shareOf(step, dark) <= shareOf(before, dark)) {
      yield finding(
        'grey-order',
        'error',
        step.line.values.find((value) => value.type === 'grey') ?? step.line.wordSpan,
        `${step.grey.text} is darker than ${before.grey.text}, but holds no more of the dark toner ${dark}.`,
        'Put right the grey or the parts of one of the two steps.',
        { related: [{ from: before.line.from, to: before.line.to, text: 'the lighter step' }] },
      );
    }
    before = step;
  }
}

function shareOf(step: UndercoatStep, code: string): number {
  const total = step.toners.reduce((sum, toner) => sum + toner.parts.valueOf(), 0);
  const own = step.toners.filter((toner) => toner.code === code).reduce((sum, toner) => sum + toner.parts.valueOf(), 0);
  return total > 0 ? own / total : 0;
}
