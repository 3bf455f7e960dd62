/** A week in the sample book, commit by commit, as two people of the shop would have made it. */
import { cp, readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect } from 'vitest';
import { type Repository, repository } from './repository.ts';

const SAMPLE = fileURLToPath(new URL('../../../samples', import.meta.url));

type Edit = (text: string) => string;

/** Commits of the week before which the book was as it is delivered. */
export const DAYS = 5;

export async function scriptedWeek(): Promise<Repository> {
  const made = await repository();
  for (const part of ['book', 'optics.lock'])
    await cp(join(SAMPLE, part), join(made.folder, part), { recursive: true });
  await made.commit('Where the week begins', {});
  const days = ['16', '17', '18', '19', '20'];
  const by = (who: string) => (subject: string, edits: readonly Edit[]) =>
    day(
      made,
      `${who} <${who.split(' ')[0]!.toLowerCase()}@saltmarsh.example>`,
      `2026-11-${days.shift()}T10:20`,
      subject,
      edits,
    );
  const [rosa, ida] = [by('Rosa Ore'), by('Ida Moss')];
  await rosa('Samphire a little darker, as the last three vans are', [
    inEntry('formula SAM-31', (entry) => entry.replace(/(toner BLK-1 +)\d+\.\d+/, '$11.40')),
    inEntry('formula GUL-2', (entry) => entry.replace(/(toner S-OCH +)\d+\.\d+/, '$11.35')),
  ]);
  await ida('Slate for a larger cup; the tar black is called pitch', [
    inEntry('formula SLT-4', (entry) => twice(entry).replace('300 g', '400 g')),
    (text) => text.replaceAll('TAR-1', 'PIT-1'),
  ]);
  await ida('Kelp over the lighter grey, with less yellow; the black is dearer', [
    inEntry('toner BLK-1', (entry) =>
      entry.replace(/(price +)(\d+\.\d+)/, (_, word: string, price: string) => word + (Number(price) * 1.2).toFixed(2)),
    ),
    inEntry('formula KLP-4', (entry) =>
      entry
        .replace('SEAL grey N3.5', 'SEAL grey N5')
        .replace(/(toner YEL-3 +)\d+\.\d+/, '$115.00')
        .replace(/(toner BND-0 +)\d+\.\d+/, '$144.90'),
    ),
    inEntry('formula HRN-1', (entry) => `${entry}\n  note "For the vans, too."`),
  ]);
  await rosa('Sprayed the darker Samphire', [
    inEntry('formula SAM-31', (entry) => entry.replace(/(status +).*/, '$1approved by RO on 2026-11-19')),
    (text) => (text.includes('sprayout SAM-31-card-2 ') ? `${text.trimEnd()}\n\n${CARD}` : text),
  ]);
  await rosa('Read the Oyster estate again; Fulmar on trial', [
    inEntry('reading PRL-tailgate', darkerOnTheFlop),
    (text) => (text.includes('formula CHK-1 ') ? `${text.trimEnd()}\n\n${TRIAL}` : text),
  ]);
  return made;
}

async function day(
  made: Repository,
  who: string,
  when: string,
  subject: string,
  edits: readonly Edit[],
): Promise<void> {
  const book = join(made.folder, 'book');
  const files = new Map<string, string>();
  for (const name of await readdir(book)) files.set(name, await readFile(join(book, name), 'utf8'));
  for (const edit of edits) {
    const changed = [...files].filter(([, text]) => edit(text) !== text);
    expect(changed.length, subject).toBeGreaterThan(0);
    for (const [name, text] of changed) files.set(name, edit(text));
  }
  for (const [name, text] of files) await made.write(`book/${name}`, text);
  made.git('add', '-A');
  made.git('commit', '-q', `--author=${who}`, `--date=${when}`, '-m', subject);
}

/** Changes the entry that begins with this head. */
export const inEntry =
  (head: string, change: Edit): Edit =>
  (text) => {
    const from = text.indexOf(`\n${head} `) + 1;
    if (from === 0) return text;
    const end = text.indexOf('\n\n', from);
    const to = end < 0 ? text.length : end;
    return text.slice(0, from) + change(text.slice(from, to)) + text.slice(to);
  };

const twice: Edit = (entry) =>
  entry.replace(
    /^( {2}toner +\S+ +)(\d+\.\d+)/gm,
    (_, start: string, parts: string) => `${start}${(Number(parts) * 2).toFixed(2)}`,
  );

/** A second reading, half a unit darker from the body to the flop, where the card of the formula was too dark for the first one. */
const darkerOnTheFlop: Edit = (entry) =>
  entry
    .replace(/^ {2}spectrum 45as(?:45|75|110) [^\n]*(?:\n {4}[^\n]*)*\n?/gm, '')
    .replace(
      /^( {2}lab 45as(?:45|75|110) +take \d +)(\d+\.\d+)/gm,
      (_, start: string, lightness: string) => start + (Number(lightness) - 0.5).toFixed(2),
    )
    .trimEnd();

const CARD = `sprayout SAM-31-darker of SAM-31
  sprayed      2026-11-18 by IM
  measured     2026-11-19T09:30 with BENCH-2
  surface      cleared polished 20 C
  over         SEAL grey N5
  film         18 um in 3 coats
  toner GRN-2  41.20
  toner ALU-C  22.60
  toner BLK-1   1.40
  toner BND-0  34.95
  lab 45as15   63.31 -18.70 9.20
  lab 45as25   49.72 -16.02 7.86
  lab 45as45   22.36 -11.60 5.74
  lab 45as75   11.66 -10.98 5.41
  lab 45as110  9.58 -10.25 5.03
`;

const TRIAL = `formula FUL-1 "Fulmar"
  system       SB
  finish       solid
  status       trial by RO on 2026-11-20
  undercoat    SEAL grey N6.5
  target weight 300 g as poured
  toner S-WHT  40.00
  toner S-BLK   2.00
  toner S-BND  58.00
`;
