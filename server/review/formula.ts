/** What a change does to one formula: the data of a page of the review. */
import { rounded } from '../answers/number.ts';
import type { Book } from '../book/book.ts';
import type { EntryCell } from '../book/cell.ts';
import { viewingText } from '../colour/viewing.ts';
import { type CallOut, callOuts } from './call-outs.ts';
import { type ExpectationChange, expectationChanges } from './expectations.ts';
import { type ExpectedOff, expectedOff } from './expected-off.ts';
import { type LightMoved, lightMoved, notUnder, readAsBefore } from './light.ts';
import { calledNow, type Missing } from './missing.ts';
import { besidePredicted, measuredShift, predictedShift, type Shift } from './shift.ts';
import { type Expected, type FormulaState, type OffStandard, stateOf } from './state.ts';
import { byPresentNames, samePaint, scaledBy, type TonerShift, tonerShifts } from './toners.ts';
import { partsText, type UndercoatMixed, undercoatMixed } from './undercoat.ts';
import type { UnreadLine } from './unread.ts';
import { type Grade, gradeOf, sentenceOf } from './verdict.ts';
import type { Place, Versions } from './versions.ts';

/** One figure before and after; null where the version has none. */
export interface BeforeAfter<T> {
  readonly before: T | null;
  readonly after: T | null;
}

/** What both versions say of the paint each for itself. */
export interface FigureSides {
  /** The reading that it has to look like. */
  readonly standard: BeforeAfter<string>;
  readonly againstStandard: BeforeAfter<{
    readonly standard: string;
    readonly card: string;
    readonly worst: OffStandard;
    readonly differs: string;
    readonly angles: readonly OffStandard[];
  }>;
  readonly metamerism: BeforeAfter<NonNullable<FormulaState['metamerism']>>;
  readonly undercoat: BeforeAfter<UndercoatTold>;
  readonly coats: BeforeAfter<number>;
  readonly bestGrey: BeforeAfter<NonNullable<FormulaState['bestGrey']>>;
  readonly target: BeforeAfter<string>;
  readonly status: BeforeAfter<string>;
  readonly cost: BeforeAfter<NonNullable<FormulaState['cost']>>;
  readonly voc: BeforeAfter<NonNullable<FormulaState['voc']>>;
  readonly screen: BeforeAfter<{ readonly hex: string; readonly outOfGamut: boolean }>;
}

export interface FormulaReview extends FigureSides {
  readonly id: string;
  readonly name: string;
  readonly was: 'added' | 'removed' | 'renamed' | 'changed' | 'reached';
  /** The id before a renaming. */
  readonly from: string | null;
  /** In the new version, else in the old one. */
  readonly place: Place;
  /** The words of its own lines that say something else: `toner`, `note`; the word of the head for its name. */
  readonly words: readonly string[];
  /** What changed that it hangs on: `itself`, `toner BLK-1`. */
  readonly because: readonly string[];
  readonly grade: Grade;
  readonly sentence: string;
  readonly callOuts: readonly CallOut[];
  /** Lines that came with the change, that it hangs on and that cannot be read: its figures are without them. */
  readonly unread: readonly UnreadLine[];
  /** What it names that the new version does not have. */
  readonly missing: readonly Missing[];
  readonly toners: readonly TonerShift[];
  /** The factor that all parts were scaled by, where the paint is the same. */
  readonly scaledBy: string | null;
  readonly shift: Shift | null;
  /** Of the shift, what the formula and what the optics fit did; null where the fit did not move or nothing is predicted. */
  readonly movedBy: {
    readonly formula: number;
    /** Of what the formula did, by the new fit alone; null where the fit does not tell it. */
    readonly formulaPlusMinus: number | null;
    readonly model: number;
  } | null;
  /** Where no card shows the paint: the earlier card moved by the predicted shift, else the prediction alone. */
  readonly expectedOff: BeforeAfter<ExpectedOff>;
  /** Where the main light of the book was changed: both, and what keeps the paint from being held against its standard under the new one. */
  readonly light: { readonly before: string; readonly after: string; readonly cannot: string | null } | null;
  /** The same grey by name, mixed otherwise. */
  readonly undercoatMixed: UndercoatMixed | null;
  readonly expectations: readonly ExpectationChange[];
  /** Cups that were mixed from the earlier paint. */
  readonly batches: readonly string[];
  /** Formulas that derive from it in the new version. */
  readonly variants: readonly string[];
}

export interface UndercoatTold extends Omit<NonNullable<FormulaState['undercoat']>, 'parts'> {
  readonly parts: string;
}

export interface Pairing {
  readonly before: EntryCell | undefined;
  readonly after: EntryCell | undefined;
  readonly was: FormulaReview['was'];
  readonly from: string | null;
  readonly words: readonly string[];
  readonly because: readonly string[];
  /** A toner that it is mixed of colours otherwise now. */
  readonly moved: boolean;
  /** Toners that only have another code now: the earlier one, the present one. */
  readonly recoded: readonly (readonly [string, string])[];
  /** What it hangs on that has another name now, `undercoat:SEAL`, the earlier one first. */
  readonly renamed: readonly (readonly [string, string])[];
  /** Lines that it hangs on and that cannot be read. */
  readonly unread: readonly UnreadLine[];
}

/** Predictions of the old formulas with the new fit, where that moved. */
export type OldByNewModel = ((cell: EntryCell) => Expected | null) | null;

export function reviewFormula(
  { before: old, after: now }: Versions,
  pairing: Pairing,
  oldByNewModel: OldByNewModel,
): FormulaReview {
  const before = pairing.before ? stateOf(old.book, pairing.before, old.hidingOf) : null;
  const light = lightMoved({ before: old, after: now });
  const after = pairing.after ? presentState({ before: old, after: now }, pairing.after, pairing, light) : null;
  const cannot = light && after ? notUnder(light, after) : null;
  const shown = after ?? before!;
  const called = before && byPresentNames(before, after, pairing);
  const alike = called && after ? samePaint(called, after) : false;
  const shift = before && after ? shiftBetween(now.book, before, after, alike) : null;
  const expectations = expectationChanges(
    { ...old, cell: pairing.before },
    { ...now, cell: pairing.after, notUnder: cannot },
  );
  const expected = {
    before: before && expectedOff(old.book, before, null),
    after: after && expectedOff(now.book, after, before),
  };
  const by = before && after ? movedBy(now.book, before, after, oldByNewModel) : null;
  const mixed = called && after ? undercoatMixed(now.book, called, after) : null;
  const modelOnly = alike && by !== null && rounded(by.formula, 1) === 0 && rounded(by.model, 1) > 0;
  const judged = {
    before: called,
    after,
    alike,
    shift,
    moved: pairing.moved,
    modelOnly,
    expected: expected.after,
    mixed,
    unread: pairing.unread,
  };
  const grade = gradeOf(judged);
  return {
    id: shown.recipe.id,
    name: shown.recipe.name,
    was: pairing.was,
    from: pairing.from,
    place: after ? now.placeOf(after.cell) : old.placeOf(before!.cell),
    words: pairing.words,
    because: pairing.because,
    grade,
    sentence: sentenceOf(grade, judged),
    callOuts: after ? callOuts(old.book, now.book, before, after, { alike, expectations, mixed }) : [],
    unread: pairing.unread,
    missing: after?.missing ?? [],
    toners: after?.recipe.missingParent === undefined ? tonerShifts(called, after) : [],
    scaledBy: called && after && alike ? scaledBy(called, after) : null,
    shift,
    movedBy: by,
    expectedOff: expected,
    light: light ? { before: viewingText(light.from), after: viewingText(light.to), cannot } : null,
    undercoatMixed: mixed,
    standard: sides(before?.standard, after?.standard),
    againstStandard: sides(before && against(before), after && against(after)),
    metamerism: sides(before?.metamerism, after?.metamerism),
    undercoat: sides(undercoatTold(before), undercoatTold(after)),
    coats: sides(before?.coats, after?.coats),
    bestGrey: sides(before?.bestGrey, after?.bestGrey),
    target: sides(before?.target?.text, after?.target?.text),
    status: sides(before?.status, after?.status),
    cost: sides(before?.cost, after?.cost),
    voc: sides(before?.voc, after?.voc),
    screen: sides(before?.screen, after?.screen),
    expectations: pairing.was === 'removed' ? [] : expectations,
    batches: before && !(after && alike) ? batchesOf(old.book, before.recipe.id) : [],
    variants: variantsOf(now.book, shown.recipe.id),
  };
}

const sides = <T>(before: T | null | undefined, after: T | null | undefined): BeforeAfter<T> => ({
  before: before ?? null,
  after: after ?? null,
});

const undercoatTold = (state: FormulaState | null): UndercoatTold | null =>
  state?.undercoat ? { ...state.undercoat, parts: partsText(state.undercoat.parts) } : null;

function presentState(
  versions: Versions,
  cell: EntryCell,
  { renamed }: Pairing,
  light: LightMoved | undefined,
): FormulaState {
  const { book, hidingOf } = versions.after;
  const state = stateOf(book, cell, hidingOf, light && readAsBefore(versions, light));
  return renamed.length === 0 ? state : { ...state, missing: calledNow(state.missing, renamed) };
}

/** The card tells best; where it shows the same paint there is nothing to tell. */
function shiftBetween(book: Book, before: FormulaState, after: FormulaState, alike: boolean): Shift | null {
  const measured = alike && before.card?.id === after.card?.id ? null : measuredShift(book, before, after);
  const predicted = predictedShift(book, before.expected, after.expected);
  if (measured && !alike) return besidePredicted(measured, predicted);
  return predicted ?? (alike ? null : measured);
}

function movedBy(
  book: Book,
  before: FormulaState,
  after: FormulaState,
  oldByNewModel: OldByNewModel,
): FormulaReview['movedBy'] {
  const between = oldByNewModel?.(before.cell);
  if (!between) return null;
  const model = predictedShift(book, before.expected, between);
  const formula = predictedShift(book, between, after.expected);
  if (!model || !formula) return null;
  const { dE00, plusMinus } = formula.angles[0]!;
  return { model: model.angles[0]!.dE00, formula: dE00, formulaPlusMinus: plusMinus };
}

function against(state: FormulaState): FormulaReview['againstStandard']['before'] {
  const [worst] = state.off;
  if (!state.card || !worst) return null;
  return { standard: state.standard!, card: state.card.id, worst, differs: state.differs, angles: state.off };
}

const idsOf = (cells: Iterable<EntryCell>): string[] =>
  [...cells].map((cell) => cell.name!.slice(cell.name!.indexOf(':') + 1)).sort();

const batchesOf = (book: Book, id: string): string[] =>
  idsOf([...book.usersOf(`formula:${id}`)].filter((cell) => cell.entry.kind === 'batch' && cell.name));

/** Down any number of steps. */
function variantsOf(book: Book, id: string): string[] {
  const found = new Set<string>();
  const queue = [id];
  for (let one = queue.pop(); one !== undefined; one = queue.pop()) {
    for (const cell of book.usersOf(`formula:${one}`)) {
      const name = cell.entry.kind === 'variant' ? cell.name?.slice('formula:'.length) : undefined;
      if (name === undefined || found.has(name)) continue;
      found.add(name);
      queue.push(name);
    }
  }
  return [...found].sort();
}

/** With no more digits than anybody is shown; the parts of an undercoat in other amounts are the same undercoat. */
const asShown = (key: string, value: unknown): unknown =>
  key === 'parts' ? undefined : typeof value === 'number' ? value.toFixed(key === 'gramsPerLitre' ? 0 : 1) : value;

/** Is there anything to tell of a formula that was only reached? Another name of what its figures are of is nothing. */
export function tellsSomething(one: FormulaReview, renamed: Pairing['renamed']): boolean {
  if (one.was !== 'reached') return true;
  const present = new Map(
    renamed.map((names) => names.map((name) => name.slice(name.indexOf(':') + 1)) as [string, string]),
  );
  const called = (figure: unknown): string =>
    JSON.stringify(figure, asShown).replace(/[^\s",()]+/g, (word) => present.get(word) ?? word);
  const same = ({ before, after }: BeforeAfter<unknown>) =>
    (before === null) === (after === null) && called(before) === called(after);
  return (
    one.callOuts.length > 0 ||
    one.expectations.length > 0 ||
    (one.shift !== null && one.shift.angles[0]!.dE00 > 0) ||
    one.toners.some((toner) => JSON.stringify(toner.before) !== JSON.stringify(toner.after)) ||
    one.grade === 'needs a spray-out' ||
    one.grade === 'cannot be mixed' ||
    one.grade === 'cannot be read' ||
    ![
      one.againstStandard,
      one.expectedOff,
      one.metamerism,
      one.undercoat,
      one.coats,
      one.bestGrey,
      one.target,
      one.status,
      one.cost,
      one.voc,
    ].every(same)
  );
}
