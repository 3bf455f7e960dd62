import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** One coat of a recipe: toners in parts by weight, and how many times it is sprayed. */
export interface Coat {
  name: 'ground' | 'mid' | 'top';
  times: number;
  parts: Map<string, number>;
}

/** What the generator needs from the hand-written part of the sample book. */
export interface HandWritten {
  /** Solids of each toner, share by weight. */
  solids: Map<string, number>;
  /** What a let-down is made of, in parts. */
  letdowns: Map<string, Map<string, number>>;
  formulas: Map<string, { coats: Coat[]; grey: string; system: string }>;
}

/**
 * Reads toners, formulas and variants line by line. A few words only, on purpose: the files are the project's own, and the
 * simulator shares no code with the parser that the product reads them with.
 */
export function readHandWritten(folders: readonly string[]): HandWritten {
  const book: HandWritten = { solids: new Map(), letdowns: new Map(), formulas: new Map() };
  const written = /^(toners|formulas-|\d).*\.pour$/;
  const files = folders.flatMap((folder) =>
    readdirSync(folder)
      .sort()
      .map((name) => ({ folder, name })),
  );
  for (const { folder, name } of files.filter((file) => written.test(file.name))) {
    let id = '';
    for (const line of readFileSync(join(folder, name), 'utf8').split('\n')) {
      const words = line
        .replace(/\s#.*$/, '')
        .trim()
        .split(/\s+/);
      if (/^[a-z]/.test(line)) id = begin(book, words);
      else if (words[0] === 'solids') book.solids.set(id, Number(words[1]) / 100);
      else if (words[0] === 'toner' && book.letdowns.has(id)) book.letdowns.get(id)!.set(words[1]!, Number(words[2]));
      else if (book.formulas.has(id)) readFormulaLine(book.formulas.get(id)!, words);
    }
  }
  return book;
}

function begin(book: HandWritten, [kind, id]: string[]): string {
  if (kind === 'formula') book.formulas.set(id!, { coats: [], grey: '', system: '' });
  if (kind === 'letdown') book.letdowns.set(id!, new Map());
  if (kind === 'variant') {
    const parent = book.formulas.get(id!.slice(0, id!.lastIndexOf('/')))!;
    const coats = parent.coats.map((coat) => ({ ...coat, parts: new Map(coat.parts) }));
    book.formulas.set(id!, { ...parent, coats });
  }
  return id!;
}

/** The dry mass that each toner brings; a let-down brings what it is made of. */
export function dryMass({ solids, letdowns }: HandWritten, parts: ReadonlyMap<string, number>): Map<string, number> {
  const dry = new Map<string, number>();
  const pour = (code: string, amount: number) => {
    const made = letdowns.get(code);
    if (!made) dry.set(code, (dry.get(code) ?? 0) + amount * solids.get(code)!);
    const sum = made ? [...made.values()].reduce((a, b) => a + b, 0) : 1;
    for (const [inside, share] of made ?? []) pour(inside, (amount * share) / sum);
  };
  for (const [code, amount] of parts) pour(code, amount);
  return dry;
}

function readFormulaLine(formula: { coats: Coat[]; grey: string; system: string }, words: string[]) {
  const [word, first, second, third] = words;
  if (word === 'system') formula.system = first!;
  if (word === 'undercoat') formula.grey = words.slice(1).join(' ');
  if (word === 'coat') {
    formula.coats.push({ name: first as Coat['name'], times: Number(third ?? 1), parts: new Map() });
  }
  if (word !== 'toner') return;
  if (formula.coats.length === 0) formula.coats.push({ name: 'top', times: 1, parts: new Map() });
  const { parts } = formula.coats.at(-1)!;
  const before = parts.get(first!) ?? 0;
  if (second === '=') parts.set(first!, Number(third));
  else if (third === '%') parts.set(first!, before * (1 + Number(second) / 100));
  else parts.set(first!, /^[+-]/.test(second!) ? before + Number(second) : Number(second));
}
