/** The pours as comma-separated values (RFC 4180) for a spreadsheet or a scale that reads a list. */
import type { ReadyAnswer } from '../../answers/ready.ts';
import type { SheetAnswer } from '../../answers/sheet.ts';
import { undercoatsInOrder } from '../../answers/undercoat-sheet.ts';
import { cupRows } from '../text/mix.ts';

const HEAD = ['part', 'coat', 'code', 'name', 'pour_g', 'running_g'] as const;

export function sheetCsv(sheet: SheetAnswer): string {
  const row = (part: string, coat: string, one: { toner: string; grams: string | null; cumulative: string | null }) => [
    part,
    coat,
    one.toner,
    sheet.names[one.toner] ?? '',
    one.grams ?? '',
    one.cumulative ?? '',
  ];
  const added = (ready: ReadyAnswer | null, coat: string) =>
    (ready?.lines ?? []).map((line) => row(line.role, coat, { ...line, toner: line.code }));
  const rows = [
    HEAD,
    ...undercoatsInOrder(sheet.undercoat).flatMap((one) => {
      const grey = `${one.undercoat} ${one.grey}`.trim();
      return [...one.pours.map((pour) => row('undercoat', grey, pour)), ...added(one.readyToSpray, grey)];
    }),
    ...sheet.coats.flatMap(({ coat, readyToSpray }) => [
      ...cupRows(sheet, coat).map((pour) => row('colour', coat, pour)),
      ...added(readyToSpray, coat),
    ]),
  ];
  return rows.map((cells) => cells.map(quoted).join(',')).join('\r\n');
}

/** A cell that a spreadsheet would take for a formula is written as text. */
function quoted(cell: string): string {
  const safe = /^[=+@\t\r-]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
