import { decimal, placesOf, type Rational } from '../../exact/rational.ts';
import { type RecipeSlip, recipeIn } from '../recipe.ts';
import { type Check, finding } from './check.ts';

export const variantChange: Check = {
  pages: [
    {
      code: 'variant-takes-too-much',
      title: 'A variant takes more than its parent has',
      text: 'A minus line of a variant takes parts from what its parent has, in the parent’s parts. Less than nothing cannot be poured; until the line is put right the toner is left out. Take less, write what the toner should come to with `=`, or drop it with `without`.',
    },
    {
      code: 'variant-changes-nothing',
      title: 'A variant changes a toner that its parent does not have',
      text: '`without` and per-cent lines change what is there already. The parent (in the coat that the line names) has none of this toner, so nothing would happen. Correct the code, or add the toner with `+` and its parts.',
    },
  ],
  in: ['variant'],
  acrossFiles: true,
  *find(book, cell) {
    for (const slip of recipeIn(book, cell).slips) {
      if (!slip.line) continue;
      const at = slip.line.values.find((value) => value.place !== 'toner') ?? slip.line.wordSpan;
      if (slip.kind === 'takes too much') yield tooMuch(slip, at);
      else if (slip.kind === 'nothing to change') {
        yield finding(
          'variant-changes-nothing',
          'error',
          slip.line.values[0] ?? slip.line.wordSpan,
          `The parent has no ${slip.code} that could be changed.`,
          `Correct the code, or add the toner with its parts: toner ${slip.code} +1.00`,
        );
      }
    }
  },
};

function tooMuch(slip: RecipeSlip, at: { from: number; to: number }) {
  const { code, line, has } = slip;
  const none = has.compare(0) === 0;
  return finding(
    'variant-takes-too-much',
    'error',
    at,
    none
      ? `The parent has no ${code} that could be taken away.`
      : `This takes more ${code} than the parent has (${shown(has)} parts).`,
    none
      ? `Correct the code, or write + in front of the parts.`
      : `Take at most ${shown(has)}, or leave the toner out: without ${code}`,
    none || !line
      ? {}
      : {
          fixes: [
            {
              title: `Leave ${code} out`,
              edits: [{ from: line.wordSpan.from, to: at.to, text: `without ${code}` }],
            },
          ],
        },
  );
}

const shown = (parts: Rational): string => decimal(parts, Math.max(2, placesOf(parts)));
