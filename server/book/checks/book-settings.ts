import type { Finding } from '../../../grammar/finding.ts';
import { nearest } from '../../../grammar/nearest.ts';
import { lineOf, type Value, value } from '../../../grammar/tree.ts';
import { vocRegimes } from '../../paint/voc.ts';
import type { EntryCell } from '../cell.ts';
import { readShop } from '../entries/shop.ts';
import { knownZone } from '../entries/time.ts';
import { type Check, finding, listed, writing } from './check.ts';

/** The newest version of the language that this program reads. */
const LANGUAGE = 1;

export const bookSettings: Check = {
  pages: [
    {
      code: 'language-newer',
      title: 'The book is written in a newer language',
      text: 'The `language` line says in which version of this language the book is written. A higher version may have words that are not known here or mean something else, so figures may be wrong and the book is not formatted. Read it with a newer program.',
    },
    {
      code: 'timezone-unknown',
      title: 'An unknown time zone',
      text: 'Time zones are written by their names in the IANA data base: Europe/Dublin, America/Halifax, UTC. While the zone is unknown, times without a zone of their own are taken as UTC.',
    },
    {
      code: 'voc-unknown',
      title: 'An unknown VOC regulation or category',
      text: `The regulations whose limits are known here, with their categories: ${vocRegimes
        .map((regime) => `\`${regime.id}\` (${regime.limits.map((limit) => limit.id).join(', ')})`)
        .join(
          '; ',
        )}. Other limits are written in the book: \`limit harbour topcoat 340 g/l less-water on 2026-11-20\`. The undercoat is held against the category that is usual for it (${vocRegimes
        .map((regime) => `${regime.undercoat} in \`${regime.id}\``)
        .join(
          ', ',
        )}) unless the line says another: \`voc eu-2004-42 topcoat undercoat special\`; of limits of the book's own it has to be said. Limits change: check the date that is shown with each.`,
    },
    {
      code: 'book-twice',
      title: 'Two book entries',
      text: 'What holds for the whole shop stands in one `book` entry. The first one in the order of the files counts and the others are not read. Move their lines into the first.',
    },
  ],
  in: ['book'],
  acrossFiles: true,
  *find(book, cell) {
    yield* language(cell);
    yield* zone(cell);
    yield* voc(cell);
    const [first] = book.shops();
    const head = cell.entry.head;
    if (first && first !== cell && head) {
      const file = first.file.uri.slice(first.file.uri.lastIndexOf('/') + 1);
      yield finding(
        'book-twice',
        'error',
        head.wordSpan,
        `The book has another 'book' entry${first.file === cell.file ? ' above' : `, in ${decodeURIComponent(file)}`}; that one counts.`,
        'Move the lines that are meant into it, and take this one out.',
      );
    }
  },
};

function* language(cell: EntryCell): Generator<Finding> {
  const version = value(lineOf(cell.entry, 'language'), 'version');
  if (!version || !(Number(version.text) > LANGUAGE)) return;
  yield finding(
    'language-newer',
    'error',
    version,
    `This book is written in language ${version.text}; here language ${LANGUAGE} is read.`,
    'Read it with a newer program; until then do not trust its figures.',
  );
}

function* zone(cell: EntryCell): Generator<Finding> {
  const at = value(lineOf(cell.entry, 'timezone'), 'zone');
  if (!at || knownZone(at.text)) return;
  const guess = nearest(at.text, [...Intl.supportedValuesOf('timeZone'), 'UTC']);
  yield unknown(
    'timezone-unknown',
    at,
    `There is no time zone '${at.text}'.`,
    guess,
    'Write its name as in Europe/Dublin.',
  );
}

function* voc(cell: EntryCell): Generator<Finding> {
  const line = lineOf(cell.entry, 'voc');
  const at = value(line, 'regime');
  if (!at) return;
  const own = readShop(cell.entry).limits;
  const regime = vocRegimes.find((one) => one.id === at.text);
  const categories = [value(line, 'category'), value(line, 'undercoat')].filter((one) => one !== undefined);
  const strangers = categories.filter((one) => !own.some((o) => o.regime === at.text && o.category === one.text));
  if (!regime) {
    if (strangers.length === 0 && categories.length > 0) return;
    const ids = [...new Set([...vocRegimes, ...own.map((one) => ({ id: one.regime }))].map((one) => one.id))];
    if (ids.includes(at.text)) yield* strangers.map((one) => noLimit(at.text, one));
    else
      yield unknown(
        'voc-unknown',
        at,
        `The regulation '${at.text}' is not known here.`,
        nearest(at.text, ids),
        `Known are ${listed(ids)}.`,
      );
    return;
  }
  const known = regime.limits.map((limit) => limit.id);
  for (const one of strangers.filter(({ text }) => !known.includes(text)))
    yield unknown(
      'voc-unknown',
      one,
      `The regulation ${regime.id} has no category '${one.text}'.`,
      nearest(one.text, known),
      `Its categories are ${listed(known)}.`,
    );
}

const noLimit = (regime: string, category: Value): Finding =>
  finding(
    'voc-unknown',
    'error',
    category,
    `The book has no limit of '${regime}' for '${category.text}'.`,
    `Add one, such as: limit ${regime} ${category.text} 340 g/l less-water on 2026-11-20`,
  );

function unknown(code: string, at: Value, problem: string, guess: string | undefined, remedy: string): Finding {
  return finding(
    code,
    'error',
    at,
    problem,
    guess ? `Did you mean '${guess}'? ${remedy}` : remedy,
    guess ? { fixes: [writing(at, guess)] } : {},
  );
}
