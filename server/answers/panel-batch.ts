/** What the panel shows of a batch: its pours as they are in the cup, what comes next, and the ways out of an over-pour. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { tonerNamed } from '../book/known.ts';
import { type BatchAnswer, showBatch } from './batch.ts';
import { choiceLine, predictedText, warmText } from './batch-words.ts';
import type { PanelRow, PanelSection, PanelSheet } from './panel.ts';

/** @throws Unanswerable when the batch cannot be followed. */
export function batchPanel(book: Book, cell: EntryCell, now?: number): PanelSheet {
  const batch = showBatch(book, cell, now);
  return {
    key: `batch ${batch.id}`,
    title: `Batch ${batch.id}`,
    subtitle: `${batch.formula}, ${batch.make} g; in the cup ${batch.inCup} g`,
    next: nextSentence(batch),
    amount: false,
    sections: [
      { title: 'Colour', rows: rowsOf(book, batch), lines: addedLines(batch) },
      ...waysOut(batch),
      ...knownOf(batch),
    ],
    cautions: [],
  };
}

/** What is in the cup as it was poured, what is still to come as the scale will show it: the sheet as it was meant is of no use any more. */
function rowsOf(book: Book, batch: BatchAnswer): PanelRow[] {
  const coming = new Map(batch.coming.map((one) => [one.toner, one]));
  const codes = new Set([...batch.sheet.map(({ toner }) => toner), ...colourPours(batch).map(({ toner }) => toner)]);
  return [...codes].map((code) => {
    const next = coming.get(code);
    return {
      code,
      name: tonerNamed(book, code)?.name ?? '',
      ...(next ? { running: `${next.cumulative} g`, pour: `${next.grams} g` } : inCup(batch, code)),
      done: !next,
    };
  });
}

const colourPours = (batch: BatchAnswer) => batch.poured.filter(({ kind }) => kind === 'pour' || kind === 'leftover');

function inCup(batch: BatchAnswer, code: string): { running: string; pour: string } {
  const own = colourPours(batch).filter(({ toner }) => toner === code);
  const places = own[0]?.grams.split('.')[1]?.length ?? 0;
  const grams = own.reduce((sum, one) => sum + Number(one.grams), 0).toFixed(places);
  const last = own.at(-1);
  const off = Number(last?.off ?? 0);
  const over = off > 0 ? `, ${last!.off!} g over` : '';
  return { running: last ? `${last.cumulative} g` : '', pour: `${grams} g${over}` };
}

const KINDS = { tint: 'tinted', added: 'added' } as const;

const addedLines = (batch: BatchAnswer): string[] =>
  batch.poured.flatMap(({ toner, grams, kind }) =>
    kind === 'tint' || kind === 'added' ? [`${toner} ${grams} g ${KINDS[kind]}.`] : [],
  );

const waysOut = (batch: BatchAnswer): PanelSection[] =>
  batch.choices.length > 0
    ? [
        {
          title: 'Ways out (quick fixes on the line of the pour)',
          rows: [],
          lines: batch.choices.map((choice) => {
            const line = choiceLine(choice);
            return `${line[0]!.toUpperCase()}${line.slice(1)}.`;
          }),
        },
      ]
    : [];

function knownOf(batch: BatchAnswer): PanelSection[] {
  const lines = [
    ...(batch.predicted === null ? [] : [`Predicted: ${predictedText(batch)} from the formula.`]),
    ...(batch.evaporated ? [`${batch.evaporated} g evaporated: put as much reducer back, and close the lid.`] : []),
    ...batch.poured.flatMap(({ toner, stirred }) => (stirred === false ? [`${toner} was not stirred.`] : [])),
    ...(batch.useBy ? [`${batch.hardener ? 'Pot life ends' : 'Keeps until'} ${batch.useBy}.`] : []),
    ...(batch.useByWarm ? [warmText(batch.useByWarm)] : []),
  ];
  return lines.length > 0 ? [{ title: 'What is known', rows: [], lines: [...new Set(lines)] }] : [];
}

function nextSentence(batch: BatchAnswer): string {
  if (batch.closed) return `Closed ${batch.closed.when}.`;
  const next = batch.next ? `${batch.next.toner} until the scale shows ${batch.next.cumulative} g` : 'All in.';
  return batch.choices.length > 0 ? `Too much is in the cup. If it stays: ${next}` : next;
}
