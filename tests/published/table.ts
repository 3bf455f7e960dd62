import { readFileSync } from 'node:fs';
import Papa from 'papaparse';

/** Rows of a data file beside the published checks; lines that begin with # say where the figures come from. */
export function table(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`./data/${name}`, import.meta.url), 'utf8');
  const { data, errors } = Papa.parse<Record<string, string>>(text, {
    header: true,
    comments: '#',
    skipEmptyLines: true,
  });
  if (errors.length > 0 || data.length === 0) throw new Error(`${name}: ${errors[0]?.message ?? 'no rows'}`);
  return data;
}

/** The figures of a row in the columns named. */
export function figures(row: Record<string, string>, ...columns: string[]): number[] {
  return columns.map((column) => {
    const value = Number(row[column]);
    if (row[column] === undefined || Number.isNaN(value)) throw new Error(`no figure in column ${column}`);
    return value;
  });
}
