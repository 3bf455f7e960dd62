/** Every check of the book. To add one: a file of its own, its line here, its tests beside the others. */
import { batchKept } from './batch-kept.ts';
import { bookSettings } from './book-settings.ts';
import { calibration } from './calibration.ts';
import { cardCompared } from './card-compared.ts';
import { cardParts } from './card-parts.ts';
import type { Check } from './check.ts';
import { coatOrder } from './coat-order.ts';
import { codeTwice } from './code-twice.ts';
import { constantsUnused } from './constants-unused.ts';
import { cupRecord } from './cup-record.ts';
import { encoding } from './encoding.ts';
import { expectation } from './expectation.ts';
import { fileNamed } from './file-named.ts';
import { fileValues } from './file-values.ts';
import { formulaBare } from './formula-bare.ts';
import { grey } from './grey.ts';
import { idCase } from './id-case.ts';
import { idTwice } from './id-twice.ts';
import { illuminantUnknown } from './illuminant-unknown.ts';
import { leftoverUsed } from './leftover-used.ts';
import { letdownParts } from './letdown-parts.ts';
import { metamerism } from './metamerism.ts';
import { nameUnknown } from './name-unknown.ts';
import { overPoured } from './over-poured.ts';
import { partsZero } from './parts-zero.ts';
import { pourSmall } from './pour-small.ts';
import { scaleLoad } from './scale-load.ts';
import { scaleOff } from './scale-off.ts';
import { scaleUnit } from './scale-unit.ts';
import { shareOf } from './share-of.ts';
import { spectrum } from './spectrum.ts';
import { statusUse } from './status-use.ts';
import { systemMixed } from './system-mixed.ts';
import { takes } from './takes.ts';
import { tonerUnused } from './toner-unused.ts';
import { undercoatCostly } from './undercoat-costly.ts';
import { undercoatRing } from './undercoat-ring.ts';
import { variantChange } from './variant-change.ts';
import { vocAbove } from './voc-above.ts';
import { weightFine } from './weight-fine.ts';

/** In the order of the manual: what keeps a book from being read, then the shelf, the formulas, the readings, and what was done. */
export const checks: readonly Check[] = [
  encoding,
  nameUnknown,
  idTwice,
  idCase,
  bookSettings,
  illuminantUnknown,
  shareOf,
  systemMixed,
  letdownParts,
  tonerUnused,
  constantsUnused,
  grey,
  formulaBare,
  partsZero,
  coatOrder,
  variantChange,
  codeTwice,
  weightFine,
  pourSmall,
  scaleUnit,
  scaleOff,
  scaleLoad,
  expectation,
  vocAbove,
  undercoatRing,
  undercoatCostly,
  fileNamed,
  fileValues,
  spectrum,
  takes,
  calibration,
  cardParts,
  cardCompared,
  metamerism,
  overPoured,
  leftoverUsed,
  cupRecord,
  batchKept,
  statusUse,
];
