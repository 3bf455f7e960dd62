import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cut } from '../../../grammar/cutter.ts';
import { Book } from '../../../server/book/book.ts';
import { cardsOf, currentCard } from '../../../server/book/cards.ts';
import type { EntryCell, Name } from '../../../server/book/cell.ts';
import { coloursIn } from '../../../server/book/colours.ts';
import { Derived, Input, Queue } from '../../../server/book/facts.ts';
import { findingsFact, findingsIn } from '../../../server/book/findings.ts';
import { shopOf } from '../../../server/book/known.ts';
import { recipeIn } from '../../../server/book/recipe.ts';
import { bookText, few, IDS, inserted } from './fragments.ts';
import { beforeLineEnd, positionAt } from './positions.ts';

describe('facts', () => {
  it('compute again only what really changed', () => {
    const length = new Input(1);
    let runs = 0;
    const sign = new Derived(
      () => Math.sign(length.get()),
      () => 0,
    );
    const word = new Derived(
      () => {
        runs++;
        return sign.get() > 0 ? 'more' : 'less';
      },
      () => '',
    );
    expect(word.get()).toBe('more');
    length.set(2);
    expect(word.get()).toBe('more');
    expect(runs).toBe(1);
    length.set(-1);
    expect(word.get()).toBe('less');
    expect(runs).toBe(2);
  });

  it('give the value of the cycle to a computation that asks for itself', () => {
    const fact: Derived<number> = new Derived(
      () => fact.get() + 1,
      () => 10,
    );
    expect(fact.get()).toBe(11);
  });

  it('are as from scratch after any changes, in any order of asking', () => {
    const change = fc.record({
      input: fc.nat({ max: 3 }),
      value: fc.integer({ min: -3, max: 3 }),
      ask: fc.nat({ max: 7 }),
    });
    const wiring = fc.array(fc.tuple(fc.nat(), fc.nat(), fc.nat({ max: 3 })), { minLength: 4, maxLength: 8 });
    fc.assert(
      fc.property(wiring, fc.array(change), (wires, changes) => {
        const inputs = [0, 1, 2, 3].map(() => new Input(0));
        const nodes: (Input<number> | Derived<number>)[] = [...inputs];
        for (const [a, b, how] of wires) {
          const [left, right] = [nodes[a % nodes.length]!, nodes[b % nodes.length]!];
          const compute = () => (how === 0 && left.get() > 0 ? left.get() : combine(how, left.get(), right.get()));
          nodes.push(new Derived(compute, () => 0));
        }
        const expected = (): number[] => {
          const values = inputs.map((input) => input.peek());
          for (const [a, b, how] of wires) {
            const [left, right] = [values[a % values.length]!, values[b % values.length]!];
            values.push(how === 0 && left > 0 ? left : combine(how, left, right));
          }
          return values;
        };
        for (const { input, value, ask } of changes) {
          inputs[input]!.set(value);
          const node = nodes[ask % nodes.length]!;
          expect(node.get()).toBe(expected()[ask % nodes.length]);
        }
        expect(nodes.map((node) => node.get())).toEqual(expected());
      }),
    );
  });
});

function combine(how: number, left: number, right: number): number {
  if (how === 1) return Math.max(left, right);
  return how === 2 ? Math.sign(left - right) : (left + right) % 5;
}

const URIS = ['file:///book/a.pour', 'file:///book/b.pour', 'file:///book/m.pour', 'file:///book/sub/z.pour'];
const IMPORTS = ['file:///book/sam.csv', 'file:///book/sub/sam.csv'];
const CSV = [
  'name,take,geometry,illuminant,observer,L,a,b\nSAM,1,45as15,D65,10,61.92,-18.40,9.81\n',
  'name,take,geometry,illuminant,observer,L,a,b\nSAM,1,45as45,D65,10,41.92,-18.40,9.81\n',
  'no reading at all',
];

type Step =
  | { readonly do: 'set'; readonly uri: string; readonly text: string }
  | { readonly do: 'edit'; readonly uri: string; readonly from: number; readonly length: number; readonly text: string }
  | { readonly do: 'remove'; readonly uri: string }
  | { readonly do: 'rename'; readonly uri: string; readonly at: number; readonly id: string }
  | { readonly do: 'reorder'; readonly uri: string; readonly by: number }
  | { readonly do: 'move'; readonly uri: string; readonly to: string }
  | { readonly do: 'import'; readonly uri: string; readonly csv: string | undefined }
  | { readonly do: 'load'; readonly loaded: boolean }
  | { readonly do: 'ask'; readonly at: number }
  | { readonly do: 'flush'; readonly most: number };

const uri = fc.constantFrom(...URIS);
const stepWith = (entries: readonly string[]): fc.Arbitrary<Step> =>
  fc.oneof(
    { weight: 2, arbitrary: fc.record({ do: fc.constant('set' as const), uri, text: bookText(entries) }) },
    {
      weight: 8,
      arbitrary: fc.record({
        do: fc.constant('edit' as const),
        uri,
        from: fc.nat(),
        length: fc.oneof(fc.constant(0), fc.nat({ max: 12 }), fc.nat({ max: 200 })),
        text: inserted(entries),
      }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('remove' as const), uri }) },
    {
      weight: 3,
      arbitrary: fc.record({ do: fc.constant('rename' as const), uri, at: fc.nat(), id: fc.constantFrom(...IDS) }),
    },
    { weight: 3, arbitrary: fc.record({ do: fc.constant('reorder' as const), uri, by: fc.nat({ max: 6 }) }) },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('move' as const), uri, to: uri }) },
    {
      weight: 1,
      arbitrary: fc.record({
        do: fc.constant('import' as const),
        uri: fc.constantFrom(...IMPORTS),
        csv: fc.option(fc.constantFrom(...CSV), { nil: undefined }),
      }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('load' as const), loaded: fc.boolean() }) },
    { weight: 4, arbitrary: fc.record({ do: fc.constant('ask' as const), at: fc.nat() }) },
    { weight: 2, arbitrary: fc.record({ do: fc.constant('flush' as const), most: fc.nat({ max: 30 }) }) },
  );

const stepsOf = (most: number): fc.Arbitrary<Step[]> =>
  few.chain((entries) => fc.array(stepWith(entries), { minLength: 1, maxLength: most, size: 'max' }));

/** The texts, kept as strings: what the book has to know is what a book made of them knows. */
interface Texts {
  readonly files: Map<string, string>;
  readonly imports: Map<string, string | undefined>;
  loaded: boolean;
}

const ANY_ID = new RegExp(`(?<= )(?:${[...IDS].sort((a, b) => b.length - a.length).join('|')})(?=[ \\r\\n/])`, 'g');

function carryOut(step: Step, book: Book, texts: Texts, queue: Queue): void {
  switch (step.do) {
    case 'set':
      book.setFile(step.uri, step.text);
      texts.files.set(step.uri, step.text);
      return;
    case 'edit': {
      const text = texts.files.get(step.uri);
      if (text === undefined) return;
      const from = beforeLineEnd(text, step.from % (text.length + 1));
      const to = beforeLineEnd(text, Math.min(text.length, from + step.length));
      book.editFile(step.uri, {
        range: { start: positionAt(text, from), end: positionAt(text, to) },
        text: step.text,
      });
      texts.files.set(step.uri, text.slice(0, from) + step.text + text.slice(to));
      return;
    }
    case 'remove':
      book.removeFile(step.uri);
      texts.files.delete(step.uri);
      return;
    case 'rename': {
      const text = texts.files.get(step.uri);
      const ids = [...(text ?? '').matchAll(ANY_ID)];
      const found = ids[step.at % Math.max(1, ids.length)];
      if (text === undefined || !found) return;
      const to = found.index + found[0].length;
      carryOut(
        { do: 'edit', uri: step.uri, from: found.index, length: to - found.index, text: step.id },
        book,
        texts,
        queue,
      );
      return;
    }
    case 'reorder': {
      // The entries change places and keep their text, as when someone sorts the file.
      const slices = cut(texts.files.get(step.uri) ?? '').slices.map((slice) => slice.text);
      const text = [...slices.slice(step.by), ...slices.slice(0, step.by).reverse()].join('');
      if (!texts.files.has(step.uri)) return;
      book.setFile(step.uri, text);
      texts.files.set(step.uri, text);
      return;
    }
    case 'move': {
      const text = texts.files.get(step.uri);
      if (text === undefined || step.uri === step.to) return;
      book.removeFile(step.uri);
      book.setFile(step.to, text);
      texts.files.delete(step.uri);
      texts.files.set(step.to, text);
      return;
    }
    case 'import':
      book.setImportedFile(step.uri, bytesOf(step.csv));
      texts.imports.set(step.uri, step.csv);
      return;
    case 'load':
      book.loaded.set(step.loaded);
      texts.loaded = step.loaded;
      return;
    case 'ask': {
      const cells = [...book.cells()];
      const cell = cells[step.at % Math.max(1, cells.length)];
      if (cell) knownOf(book, cell);
      return;
    }
    case 'flush': {
      let left = step.most;
      for (const fact of queue.take()) {
        fact.settle();
        if (left-- === 0) return;
      }
    }
  }
}

const bytesOf = (text: string | undefined) => (text === undefined ? undefined : new TextEncoder().encode(text));

function fromScratch(texts: Texts): Book {
  const book = new Book();
  // In another order than they came to be: the order of arrival must not show.
  for (const [uri, text] of [...texts.files].reverse()) book.setFile(uri, text);
  for (const [uri, csv] of texts.imports) book.setImportedFile(uri, bytesOf(csv));
  book.loaded.set(texts.loaded);
  return book;
}

const placeOf = (cell: EntryCell): string => `${cell.file.uri} ${cell.file.indexOf(cell)}`;

function knownOf(book: Book, cell: EntryCell): unknown {
  const { kind } = cell.entry;
  const recipe = kind === 'formula' || kind === 'variant' ? recipeIn(book, cell) : undefined;
  return {
    kind,
    name: cell.name,
    side: cell.slice.side,
    mentions: book.mentionsIn(cell).map(({ name, value }) => [name, value.from, value.to]),
    findings: findingsIn(book, cell),
    recipe: recipe && {
      coats: recipe.coats.map((coat) => [coat.name, coat.toners.map((one) => [one.code, one.parts.toFraction()])]),
      lineage: recipe.lineage,
      undercoat: recipe.undercoat && [recipe.undercoat.is, placeOf(recipe.undercoat.from)],
      standard: recipe.standard && [recipe.standard.is, placeOf(recipe.standard.from)],
      slips: recipe.slips.map((slip) => [slip.kind, slip.code]),
    },
    cards: recipe && cardsOf(book, cell).map((card) => [placeOf(card.cell), card.standing]),
    current: recipe && [currentCard(book, cell)].map((card) => card && placeOf(card.cell)),
    colours:
      kind === 'reading' || kind === 'sprayout' || kind === 'drawdown'
        ? coloursIn(book, cell).angles.map((angle) => [angle.geometry, [...angle.labs]])
        : undefined,
  };
}

/** All that a book knows, told without the identity of anything. */
function knownIn(book: Book): unknown {
  const cells = [...book.files.keys()].sort().flatMap((uri) => book.files.get(uri)!.cells);
  const names = new Set<Name>();
  for (const cell of cells) {
    if (cell.name) names.add(cell.name);
    for (const { name } of book.mentionsIn(cell)) names.add(name);
  }
  return {
    cells: cells.map((cell) => ({ at: placeOf(cell), ...(knownOf(book, cell) as object) })),
    indexed: [...book.cells()].map(placeOf).sort(),
    names: [...names].sort().map((name) => ({
      name,
      defined: book.named(name).map(placeOf),
      users: [...book.usersOf(name)].map(placeOf).sort(),
    })),
    kinds: (['book', 'toner', 'formula', 'variant', 'reading'] as const).map((kind) =>
      [...book.ofKind(kind)].map(placeOf).sort(),
    ),
    shop: {
      ...shopOf(book),
      step: shopOf(book).step.toFraction(),
      weighingError: shopOf(book).weighingError.valueOf(),
    },
  };
}

/** Rare among random edits, so told one by one. */
describe('a book', () => {
  const open = (text: string): Book => {
    const book = new Book();
    book.setFile(URIS[0]!, text);
    book.loaded.set(true);
    return book;
  };

  it('goes by the other of two book entries when they change places', () => {
    const [first, second] = ['book "A"\n  takes 2\n', 'book "B"\n  takes 5\n'];
    const book = open(first + second);
    expect(shopOf(book).takes).toBe(2);
    book.setFile(URIS[0]!, second + first);
    expect(shopOf(book).takes).toBe(5);
    book.setFile('file:///book/0.pour', 'book "C"\n  takes 7\n');
    expect(shopOf(book).takes).toBe(7);
  });

  it('offers a name that another entry was given since', () => {
    const book = open('toner XXX-9 "x"\nformula F "f"\n  toner GRN-2 1\n');
    const offered = () =>
      findingsIn(book, book.find('formula', 'F')!).find((one) => one.code === 'name-unknown')?.fixes?.[0]?.title;
    expect(offered()).toBeUndefined();
    book.editFile(URIS[0]!, {
      range: { start: { line: 0, character: 6 }, end: { line: 0, character: 11 } },
      text: 'GRN-3',
    });
    expect(offered()).toBe('Write GRN-3');
  });
});

describe('a book under random edits', () => {
  it('knows the same as a book made of the same texts', () => {
    fc.assert(
      fc.property(stepsOf(25), (steps) => {
        const book = new Book();
        const queue = new Queue();
        book.onIndexed.add((cell, gone) => {
          if (gone) findingsFact(book, cell).drop();
          else findingsFact(book, cell).watch(queue);
        });
        const texts: Texts = { files: new Map(), imports: new Map(), loaded: false };
        for (const one of steps) carryOut(one, book, texts, queue);
        expect(knownIn(book)).toEqual(knownIn(fromScratch(texts)));
      }),
      { numRuns: 300 },
    );
  });

  it('has looked at every entry whose findings changed once the queue is empty', () => {
    fc.assert(
      fc.property(stepsOf(15), (steps) => {
        const book = new Book();
        const queue = new Queue();
        const told = new Map<EntryCell, string>();
        book.onIndexed.add((cell, gone) => {
          if (!gone) return findingsFact(book, cell).watch(queue);
          findingsFact(book, cell).drop();
          told.delete(cell);
        });
        const tell = () => {
          const cells = new Map([...book.cells()].map((cell) => [findingsFact(book, cell) as Derived<unknown>, cell]));
          for (const fact of queue.take()) {
            const cell = cells.get(fact);
            if (cell) told.set(cell, JSON.stringify(findingsIn(book, cell)));
          }
        };
        const texts: Texts = { files: new Map(), imports: new Map(), loaded: false };
        for (const one of steps) {
          if (one.do === 'flush') tell();
          else carryOut(one, book, texts, queue);
        }
        tell();
        for (const cell of book.cells()) expect(told.get(cell)).toBe(JSON.stringify(findingsIn(book, cell)));
      }),
      { numRuns: 150 },
    );
  });
});
