/** What the panel shows of a batch: its pours as they are in the cup, what comes next, and the ways out of an over-pour. */
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { tonerNamed } from '../book/known.ts';
import { type BatchAnswer, showBatch } from './batch.ts';
import { choiceLine, strayedText, warmText } from './batch-words.ts';
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

/** By how much the cup still lacks a toner of the sheet decides whether its row is done. */
function rowsOf(book: Book, batch: BatchAnswer): PanelRow[] {
  const inCup = new Map<string, number>();
  for (const { toner, grams, kind } of batch.poured) {
    if (kind === 'pour' || kind === 'leftover') inCup.set(toner, (inCup.get(toner) ?? 0) + Number(grams));
  }
  const step = Number.parseFloat(batch.scale);
  return batch.sheet.map(({ toner, grams, cumulative }) => ({
    code: toner,
    name: tonerNamed(book, toner)?.name ?? '',
    running: `${cumulative} g`,
    pour: `${grams} g`,
    done: (inCup.get(toner) ?? 0) > Number(grams) - step / 2,
  }));
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
    ...(batch.predicted === null ? [] : [`Predicted: ${strayedText(batch)} from the formula.`]),
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
