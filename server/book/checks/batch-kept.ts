import type { Edit, Finding } from '../../../grammar/finding.ts';
import { lineOf, value } from '../../../grammar/tree.ts';
import { plainDecimal } from '../../exact/plain.ts';
import { decimal, type Rational, sum } from '../../exact/rational.ts';
import { type Part, totalParts } from '../../paint/weights.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { coatOf, contentIn, stepOf } from '../cup.ts';
import type { Batch, PourLine } from '../entries/batch.ts';
import { batchIn, tonerNamed } from '../known.ts';
import { type Recipe, recipeNamed } from '../recipe.ts';
import { appended, type Check, finding, listed } from './check.ts';

export const batchKept: Check = {
  pages: [
    {
      code: 'batch-unkept',
      title: 'A closed batch that keeps no recipe',
      text: 'A closed batch is a record. It keeps the recipe, as toner lines, the lots that were at hand and the step of the scale, so that a later change of the formula or of the scale does not change what it shows. Without a recipe only its pours are shown. The fix writes the recipe as the formula is now: use it when the batch is closed, not years later.',
    },
    {
      code: 'batch-unsigned',
      title: 'A closed batch that nobody signed',
      text: 'A record is worth what the person is worth who can be asked about it: `closed 2026-10-14T10:20 by RO`.',
    },
    {
      code: 'tint-accepted',
      title: 'An accepted tint that no variant has',
      text: 'What was added by eye and made the colour better (`tinted BLK-1 0.3 g accepted`) is worth keeping. The fix writes a variant with it below the batch; the finding is gone as soon as a variant of the formula has these parts.',
    },
  ],
  in: ['batch'],
  acrossFiles: true,
  *find(book, cell) {
    const batch = batchIn(book, cell);
    const recipe = recipeNamed(book, batch.formula);
    const coat = recipe && coatOf(recipe, batch);
    if (!recipe || !coat) return;
    yield* unkept(book, cell, batch, coat.toners);
    yield* unsigned(cell, batch);
    yield* tints(book, cell, batch, recipe, coat.toners);
  },
};

function* unkept(book: Book, cell: EntryCell, batch: Batch, toners: readonly Part[]): Generator<Finding> {
  const line = lineOf(cell.entry, 'closed');
  if (!line || (batch.kept.length > 0 && batch.readability)) return;
  const lots = toners.flatMap(({ code }) => {
    const newest = [...(tonerNamed(book, code)?.lots ?? [])].sort((a, b) =>
      (a.opened ?? '') < (b.opened ?? '') ? 1 : -1,
    )[0];
    return newest && !batch.lots.has(code) ? [`lot ${code} ${newest.lot}`] : [];
  });
  const recipe = batch.kept.length > 0 ? [] : toners.map(({ code, parts }) => `toner ${code} ${plainDecimal(parts)}`);
  const scale = batch.readability ? [] : [`readability ${plainDecimal(stepOf(book, batch))} g`];
  const edits = [...recipe, ...lots, ...scale].map((text) => appended(cell, text));
  const lacks = recipe.length > 0 ? 'the recipe that it was poured by' : 'the step of the scale that it was poured on';
  yield finding(
    'batch-unkept',
    'info',
    line.wordSpan,
    `This batch is closed and does not keep ${lacks}.`,
    'Write what it was poured by into it.',
    { fixes: [{ title: keepTitle(batch, recipe.length > 0), edits: together(edits) }] },
  );
}

const keepTitle = ({ formula }: Batch, recipe: boolean): string =>
  recipe ? `Keep the recipe of ${formula}, the lots and the scale as they are now` : 'Keep the step of the scale';

function* unsigned(cell: EntryCell, { closed }: Batch): Generator<Finding> {
  const line = lineOf(cell.entry, 'closed');
  if (!line || !closed || closed.by !== undefined) return;
  const at = value(line, 'when') ?? line.wordSpan;
  yield finding(
    'batch-unsigned',
    'info',
    { from: at.from, to: at.to },
    'This batch does not say who closed it.',
    "Write 'by' and the initials behind the time.",
  );
}

/** Edits at one place are one edit. */
const together = (edits: readonly Edit[]): Edit[] =>
  edits.length === 0 ? [] : [{ ...edits[0]!, text: edits.map((edit) => edit.text).join('') }];

function* tints(
  book: Book,
  cell: EntryCell,
  batch: Batch,
  recipe: Recipe,
  toners: readonly Part[],
): Generator<Finding> {
  const accepted = batch.pours.filter((pour) => pour.accepted && pour.grams);
  const poured = sum(contentIn(book, cell).poured.map((amount) => amount.grams));
  if (accepted.length === 0 || poured.lte(0)) return;
  const perGram = totalParts(toners).div(poured);
  const deltas = deltasOf(accepted, perGram);
  if (hasVariant(book, recipe, toners, deltas)) return;
  const id = freeId(book, `${recipe.id}/tinted`);
  const entry = [
    `variant ${id} "Tinted, batch ${batch.id}"`,
    ...[...deltas].map(([code, parts]) => `  toner ${code} +${decimal(parts, 2)}`),
  ];
  const { text } = cell.slice;
  const newline = text.includes('\r\n') ? '\r\n' : '\n';
  const at = text.trimEnd().length;
  const first = accepted[0]!.line;
  yield finding(
    'tint-accepted',
    'info',
    { from: first.wordSpan.from, to: first.to },
    `No variant of ${recipe.id} has what was tinted here: ${listed([...deltas].map(([code, parts]) => `${code} +${decimal(parts, 2)}`))} parts.`,
    'Write a variant with it.',
    {
      fixes: [
        {
          title: `Write the variant ${id}`,
          edits: [{ from: at, to: at, text: `${newline}${newline}${entry.join(newline)}` }],
        },
      ],
    },
  );
}

function deltasOf(tinted: readonly PourLine[], perGram: Rational): Map<string, Rational> {
  const deltas = new Map<string, Rational>();
  for (const { code, grams } of tinted) {
    const parts = grams!.mul(perGram);
    deltas.set(code, deltas.get(code)?.add(parts) ?? parts);
  }
  return deltas;
}

/** A variant may be rounded: two hundredths of a part are no other paint. */
function hasVariant(
  book: Book,
  recipe: Recipe,
  toners: readonly Part[],
  deltas: ReadonlyMap<string, Rational>,
): boolean {
  return [...book.usersOf(`formula:${recipe.id}`)].some((user) => {
    if (user.entry.kind !== 'variant' || !user.name) return false;
    const other = recipeNamed(book, user.name.slice('formula:'.length));
    const parts = other?.coats.flatMap((coat) => coat.toners) ?? [];
    return [...deltas].every(([code, delta]) => {
      const before = toners.find((toner) => toner.code === code)?.parts;
      const after = parts.find((toner) => toner.code === code)?.parts;
      return after
        ?.sub(before ?? 0)
        .sub(delta)
        .abs()
        .lte('0.02');
    });
  });
}

function freeId(book: Book, wanted: string): string {
  for (let n = 1; ; n++) {
    const id = n === 1 ? wanted : `${wanted}-${n}`;
    if (!book.find('formula', id)) return id;
  }
}
