/** What the panel beside the text shows of a formula, a variant or a batch: plain data, laid out by the client. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { quantity } from '../exact/quantity.ts';
import { rational } from '../exact/rational.ts';
import type { MixWarning } from './mix-warnings.ts';
import { batchPanel } from './panel-batch.ts';
import type { ReadyAnswer } from './ready.ts';
import { type SheetAnswer, sheet } from './sheet.ts';
import { Unanswerable } from './subject.ts';
import { sheetWords, type UndercoatSheet, undercoatsInOrder } from './undercoat-sheet.ts';
import type { VocAnswer } from './voc.ts';

export interface PanelRow {
  readonly code: string;
  readonly name: string;
  /** What the scale shows after it, with its unit. */
  readonly running: string;
  readonly pour: string;
  /** A batch knows what is in the cup; of a formula the hand ticks off. */
  readonly done: boolean | null;
}

export interface PanelSection {
  readonly title: string;
  readonly rows: readonly PanelRow[];
  readonly lines: readonly string[];
}

export interface PanelSheet {
  /** Ticks are kept for as long as it stays the same. */
  readonly key: string;
  readonly title: string;
  readonly subtitle: string;
  /** What to do next, where the text knows it (a batch); else the first row without a tick says it. */
  readonly next: string | null;
  readonly sections: readonly PanelSection[];
  readonly cautions: readonly string[];
  /** Whether an amount may be asked for; a batch says its own. */
  readonly amount: boolean;
}

export interface NoPanel {
  readonly problem: string;
}

export interface PanelAsked {
  /** As typed; nothing for the formula's target. */
  readonly amount?: string | undefined;
  readonly unit?: string | undefined;
}

export function panel(book: Book, cell: EntryCell, asked: PanelAsked, now?: number): PanelSheet | NoPanel {
  try {
    switch (cell.entry.kind) {
      case 'formula':
      case 'variant':
        return formulaPanel(sheet(book, cell, { quantity: amountIn(asked) }));
      case 'batch':
        return batchPanel(book, cell, now);
      default:
        return { problem: 'Put the cursor into a formula, a variant or a batch.' };
    }
  } catch (error) {
    if (error instanceof Unanswerable || error instanceof RangeError) return { problem: error.message };
    throw error;
  }
}

function amountIn({ amount = '', unit = 'g' }: PanelAsked) {
  const typed = amount.trim();
  if (typed === '') return undefined;
  if (!/^\d{1,9}(\.\d{1,6})?$/.test(typed))
    throw new Unanswerable(`'${shortened(typed)}' is no amount. Write a number such as 80 or 62.5.`);
  return quantity(rational(typed), unit);
}

/** Enough of what was typed to know it again. */
const shortened = (typed: string): string => (typed.length > 24 ? `${typed.slice(0, 23)}…` : typed);

function formulaPanel(answer: SheetAnswer): PanelSheet {
  const row = (one: { toner: string; grams: string; cumulative: string }): PanelRow => ({
    code: one.toner,
    name: answer.names[one.toner] ?? '',
    running: `${one.cumulative} g`,
    pour: `${one.grams} g`,
    done: null,
  });
  const several = answer.coats.length > 1;
  const { readyToSpray: ready } = answer;
  const undercoats = undercoatsInOrder(answer.undercoat);
  return {
    key: `${answer.formula} ${answer.weighable}`,
    title: answer.name,
    subtitle: `${answer.formula}, ${answer.weighable} g${answer.differs ? ` (${answer.weight} g asked for)` : ''}`,
    next: null,
    amount: true,
    sections: [
      ...(answer.warnings.length > 0
        ? [{ title: 'Before you pour', rows: [], lines: answer.warnings.map(warningLine) }]
        : []),
      ...undercoats.map((one, n) => ({
        title: undercoatTitle(one, n === 0 ? 'first' : 'next'),
        rows: [...one.pours, ...additionRows(one.readyToSpray)].map(row),
        lines: undercoatLines(one),
      })),
      ...answer.coats.map(({ coat, weight, readyToSpray }) => ({
        title: several ? `Colour, ${coat} coat, ${weight} g` : `Colour, ${weight} g`,
        rows: [...answer.pours.filter((pour) => pour.coat === coat), ...additionRows(readyToSpray)].map(row),
        lines: [],
      })),
      ...(ready
        ? [
            {
              title: ready.grams === null ? 'Ready to spray' : `Ready to spray, ${ready.grams} g`,
              rows: [],
              lines: [...ready.notes, ...(ready.potLife ? [`Pot life ${ready.potLife}.`] : [])],
            },
          ]
        : []),
      {
        title: 'What is known',
        rows: [],
        lines: [
          answer.difference,
          vocLine(answer.voc, 'VOC'),
          ...undercoats.flatMap((one) => (one.voc ? [vocLine(one.voc, 'VOC of the undercoat')] : [])),
        ],
      },
    ],
    cautions: answer.cautions.map((one) => one.text),
  };
}

/** Hardener and reducer go into the cup of their coat. */
const additionRows = (ready: ReadyAnswer | null) =>
  (ready?.lines ?? []).flatMap(({ code, grams, cumulative }) =>
    grams === null || cumulative === null ? [] : [{ toner: code, grams, cumulative }],
  );

const vocLine = (voc: VocAnswer, what: string): string =>
  voc.actual === null || voc.figure === null || voc.within === null
    ? `${what} not judged${voc.missing.length > 0 ? `: ${voc.missing.join('; ')}` : ''}.`
    : `${what} ${voc.as}: ${voc[voc.figure]?.toFixed(0) ?? 'none'} of ${voc.limit} g/l, ${voc.regime} ${voc.category} as of ${voc.date}.`;

const warningLine = ({ kind, message, place }: MixWarning): string =>
  `${kind === 'broken' ? 'Do not pour yet: ' : ''}${message}${place ? ` (${place})` : ''}`;

const undercoatTitle = (one: UndercoatSheet, when: 'first' | 'next'): string =>
  `Undercoat ${when}: ${sheetWords(one)}${one.weight ? `, ${one.weight} g` : ''}`;

const undercoatLines = ({ problem, recoat, spread }: UndercoatSheet): string[] => [
  ...(problem ? [problem] : []),
  ...(spread ? [spread] : []),
  ...(recoat ? [`Colour after ${recoat.after}${recoat.within ? `, within ${recoat.within}` : ''}.`] : []),
];
