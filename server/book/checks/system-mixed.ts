import type { Finding } from '../../../grammar/finding.ts';
import type { Line, Span } from '../../../grammar/tree.ts';
import type { Book } from '../book.ts';
import type { EntryCell } from '../cell.ts';
import { cardIn, tonerIn, undercoatIn } from '../known.ts';
import { recipeIn } from '../recipe.ts';
import { type Check, finding } from './check.ts';

export const systemMixed: Check = {
  pages: [
    {
      code: 'system-mixed',
      title: 'Toners of two systems in one coat',
      text: 'Toners of two paint systems do not mix: the paint curdles, does not dry, or comes off. All toners of a coat belong to one system, that of the formula where it names one. Take the toner of the same shade from the other system, or correct the system line.',
    },
  ],
  in: ['formula', 'variant', 'sprayout', 'drawdown', 'letdown', 'undercoat'],
  acrossFiles: true,
  *find(book, cell) {
    for (const mixture of mixturesIn(book, cell)) yield* foreign(book, cell, mixture);
  },
};

interface Mixture {
  readonly what: string;
  /** The system that is stated for it. */
  readonly system: string | undefined;
  readonly toners: readonly { readonly code: string; readonly at: Span | undefined }[];
}

/** What is stirred together; only toners with a place in this entry are reported here, a variant's others at its parent. */
function mixturesIn(book: Book, cell: EntryCell): Mixture[] {
  const { kind } = cell.entry;
  if (kind === 'formula' || kind === 'variant') {
    const recipe = recipeIn(book, cell);
    const ownSystem = recipe.system?.from === cell;
    return recipe.coats.map((coat) => ({
      what: recipe.coats.length > 1 ? `the ${coat.name} coat` : `this ${kind}`,
      system: recipe.system?.is,
      toners: coat.toners.map(({ code, origins }) => {
        const own = origins.filter((origin) => origin.cell === cell).at(-1);
        return { code, at: own ? codeAt(own.line) : ownSystem && kind === 'variant' ? systemAt(cell) : undefined };
      }),
    }));
  }
  if (kind === 'undercoat') {
    const { system, steps } = undercoatIn(book, cell);
    return steps.map(({ grey, toners, line }) => ({
      what: `grey ${grey.text}`,
      system,
      toners: toners.map(({ code }) => ({ code, at: codeAt(line, code) })),
    }));
  }
  if (kind === 'letdown') {
    const { system, madeOf } = tonerIn(book, cell);
    return [
      {
        what: 'this let-down',
        system,
        toners: madeOf.map(({ code }) => ({ code, at: codeIn(cell, code) })),
      },
    ];
  }
  return cardIn(book, cell).coats.map((coat) => ({
    what: coat.line ? `the ${coat.name} coat` : 'this card',
    system: undefined,
    toners: coat.toners.map(({ code, line }) => ({ code, at: codeAt(line) })),
  }));
}

const codeAt = (line: Line, code?: string): Span =>
  line.values.find((value) => value.place === 'toner' && (code === undefined || value.text === code)) ?? line.wordSpan;

const systemAt = (cell: EntryCell): Span | undefined =>
  cell.entry.lines.find((line) => line.word === 'system')?.values[0];

const codeIn = (cell: EntryCell, code: string): Span | undefined =>
  cell.entry.lines.flatMap((line) => line.values).find((value) => value.place === 'toner' && value.text === code);

function* foreign(book: Book, cell: EntryCell, { what, system, toners }: Mixture): Generator<Finding> {
  const known = toners.map((toner) => ({ ...toner, system: systemOf(book, toner.code) }));
  const first = known.find((toner) => toner.system !== undefined);
  const wanted = system ?? first?.system;
  if (wanted === undefined) return;
  const told = new Set<number>();
  for (const toner of known) {
    if (toner.system === undefined || toner.system === wanted || !toner.at || told.has(toner.at.from)) continue;
    told.add(toner.at.from);
    const others = system === undefined ? `${first!.code} to ${wanted}` : `${what} to ${wanted}`;
    yield finding(
      'system-mixed',
      'error',
      toner.at,
      `${toner.code} belongs to system ${toner.system}, ${others}: the two do not mix.`,
      cell.entry.kind === 'sprayout' || cell.entry.kind === 'drawdown'
        ? 'Correct the code to what was really on the card.'
        : `Take the toner of system ${wanted}, or correct the system.`,
    );
  }
}

/** A let-down that names no system belongs to that of the toner that it thins. */
function systemOf(book: Book, code: string, seen = new Set<string>()): string | undefined {
  const cell = book.find('toner', code);
  if (!cell || seen.has(code)) return undefined;
  const { system, letdownOf } = tonerIn(book, cell);
  if (system !== undefined || letdownOf === undefined) return system;
  return systemOf(book, letdownOf, seen.add(code));
}
