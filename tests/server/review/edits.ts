/** Books as plain data, and edits of them, so that a merge can be held against both edits made to the data. */
import fc from 'fast-check';

export interface Toner {
  readonly code: string;
  readonly parts: string;
  readonly comment: string;
}

export interface Formula {
  readonly id: string;
  readonly target: string;
  readonly status: string;
  readonly note: string;
  readonly undercoat: string;
  readonly toners: readonly Toner[];
}

export interface Lab {
  readonly geometry: string;
  readonly values: string;
}

export interface Shelf {
  readonly formulas: readonly Formula[];
  readonly reading: { readonly surface: string; readonly labs: readonly Lab[] };
}

const CODES = ['BLK-1', 'WHT-1', 'GRN-2', 'ALU-C', 'RED-2', 'BND-0', 'YEL-3', 'BLU-5'];
const GEOMETRIES = ['45as15', '45as25', '45as45', '45as75', '45as110'];

export const parts = fc.integer({ min: 1, max: 9999 }).map((hundredths) => (hundredths / 100).toFixed(2));

const formula = (id: string): fc.Arbitrary<Formula> =>
  fc.record({
    id: fc.constant(id),
    target: fc.constantFrom('250 g', '500 g'),
    status: fc.constantFrom('trial', 'approved by RO on 2026-10-20'),
    note: fc.constantFrom('stir it', 'warm it'),
    undercoat: fc.constantFrom('N5', 'N3.5'),
    toners: fc
      .shuffledSubarray(CODES, { minLength: 3, maxLength: 6 })
      .chain((codes) =>
        fc.tuple(
          ...codes.map((code) =>
            fc.record({ code: fc.constant(code), parts, comment: fc.constantFrom('', '', '  # by hand') }),
          ),
        ),
      ),
  });

export const shelf: fc.Arbitrary<Shelf> = fc.record({
  formulas: fc.tuple(formula('SAM-31'), formula('GUL-2'), formula('CHK-1')),
  reading: fc.record({
    surface: fc.constantFrom('cleared', 'uncleared'),
    labs: fc.tuple(...GEOMETRIES.map((geometry) => fc.record({ geometry: fc.constant(geometry), values: lab() }))),
  }),
});

function lab(): fc.Arbitrary<string> {
  return fc.tuple(parts, parts, parts).map((all) => all.join(' '));
}

/** The numbers in a reading have no blanks of their own, so that every line stands beside the next. */
export function printed({ formulas, reading }: Shelf): string {
  const entries = formulas.map(({ id, target, status, note, undercoat, toners }) =>
    [
      `formula ${id} "${id}"`,
      `  status       ${status}`,
      `  undercoat    SEAL grey ${undercoat}`,
      `  target weight ${target}`,
      ...toners.map(({ code, parts, comment }) => `  toner ${code} ${parts}${comment}`),
      `  note         "${note}"`,
    ].join('\n'),
  );
  const labs = reading.labs.map(({ geometry, values }) => `  lab ${geometry} ${values}`);
  entries.push(['reading DOOR "Door"', `  surface ${reading.surface}`, ...labs].join('\n'));
  return `${entries.join('\n\n')}\n`;
}

/** One edit: what it is about, and what it does to the data. */
export interface Edit {
  /** Formula and line key. */
  readonly about: string;
  readonly what: 'change' | 'take out' | 'bring in';
  /** Row of the line in its entry, to find neighbours. */
  readonly row: number;
  readonly entry: string;
  readonly make: (shelf: Shelf) => Shelf;
}

const inFormula =
  (id: string, change: (one: Formula) => Formula) =>
  (shelf: Shelf): Shelf => ({
    ...shelf,
    formulas: shelf.formulas.map((one) => (one.id === id ? change(one) : one)),
  });

const HEAD_ROWS = 4;

/** Every edit of one line that can be made to a shelf; `mark` makes those of two sides unlike. */
export function editsOf(shelf: Shelf, mark: number): Edit[] {
  return [...shelf.formulas.flatMap((one) => formulaEdits(one, mark)), ...readingEdits(shelf, mark)];
}

function formulaEdits({ id, toners }: Formula, mark: number): Edit[] {
  const edit = (key: string, row: number, what: Edit['what'], change: (one: Formula) => Formula): Edit => ({
    about: `${id} ${key}`,
    what,
    row,
    entry: id,
    make: inFormula(id, change),
  });
  const put = (key: 'status' | 'undercoat' | 'target' | 'note', row: number, text: string) =>
    edit(key, row, 'change', (one) => ({ ...one, [key]: text }));
  return [
    put('status', 1, `withdrawn by P${mark} on 2026-11-0${mark}`),
    put('undercoat', 2, `N${mark}`),
    put('target', 3, `${mark}00 g`),
    put('note', HEAD_ROWS + toners.length, `said by ${mark}`),
    ...toners.flatMap(({ code }, index): Edit[] => [
      edit(`toner ${code}`, HEAD_ROWS + index, 'change', (one) => ({
        ...one,
        toners: one.toners.map((toner) => (toner.code === code ? { ...toner, parts: `${mark}.125` } : toner)),
      })),
      edit(`toner ${code}`, HEAD_ROWS + index, 'take out', (one) => ({
        ...one,
        toners: one.toners.filter((toner) => toner.code !== code),
      })),
      edit(`place ${code}`, HEAD_ROWS + index, 'bring in', (one) => ({
        ...one,
        toners: one.toners.flatMap((toner) =>
          toner.code === code ? [{ code: `NEW-${mark}`, parts: `${mark}.5`, comment: '' }, toner] : [toner],
        ),
      })),
    ]),
  ];
}

function readingEdits({ reading }: Shelf, mark: number): Edit[] {
  return reading.labs.map(({ geometry }, index) => ({
    about: `DOOR lab ${geometry}`,
    what: 'change',
    row: 2 + index,
    entry: 'DOOR',
    make: (shelf) => ({
      ...shelf,
      reading: {
        ...shelf.reading,
        labs: shelf.reading.labs.map((one) =>
          one.geometry === geometry ? { ...one, values: `${mark}0.25 ${mark}.5 -${mark}.75` } : one,
        ),
      },
    }),
  }));
}
