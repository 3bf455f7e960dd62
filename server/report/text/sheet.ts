/** The pour sheet for a terminal. */
import type { SheetAnswer } from '../../answers/sheet.ts';
import { mixText } from './mix.ts';

export function sheetText(sheet: SheetAnswer): string {
  const mode =
    sheet.mode === 'tared' ? 'tared: set the scale to zero before every pour' : 'running: set the scale to zero once';
  return [
    ...sheet.warnings.map(
      (one) =>
        `${one.kind === 'broken' ? 'Do not pour yet' : 'Mind'}: ${one.message}${one.place ? ` (${one.place})` : ''}`,
    ),
    ...(sheet.warnings.length > 0 ? [''] : []),
    mixText(sheet),
    '',
    sheet.difference,
    `Weighing ${mode}.`,
    `Book: ${sheet.shop || 'unnamed'}, revision ${sheet.revision}.`,
  ].join('\n');
}
