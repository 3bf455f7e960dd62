/** Above each formula that says something else than at the earlier version what that does to its colour. */
import { type CancellationToken, type CodeLens, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { BookFile } from '../book/file.ts';
import { lineAbove } from '../report/review-line.ts';
import type { Since } from '../review/since.ts';
import { nameSpan, rangeIn } from './places.ts';
import { SLICE } from './workspace.ts';

/** Quiet time after a key before anything is worked out: a shift and what it takes to hide cost more than a key may wait for. */
const QUIET = 250; // ms

/** Waits until nothing is typed; the editor shows what it was told before, and asks anew at each key. */
export async function untilQuiet(lastEdit: () => number, token: CancellationToken): Promise<void> {
  for (;;) {
    stopIf(token);
    const left = lastEdit() + QUIET - performance.now();
    if (left <= 0) return;
    await new Promise((resolve) => setTimeout(resolve, left));
  }
}

function stopIf(token: CancellationToken): void {
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'No longer wanted.');
}

/** In slices, since a file may hold very many formulas that a change reaches; what did not change since is known already. */
export async function codeLenses(
  since: Since,
  file: BookFile,
  folder: string,
  pause: () => Promise<void>,
  token: CancellationToken,
): Promise<CodeLens[]> {
  const lenses: CodeLens[] = [];
  let begun = performance.now();
  for (const cell of [...file.cells]) {
    if (performance.now() - begun > SLICE) {
      await pause();
      stopIf(token);
      begun = performance.now();
    }
    const { kind } = cell.entry;
    if (kind !== 'formula' && kind !== 'variant') continue;
    const review = since.formula(cell);
    const title = review && lineAbove(review, since.versions.before.label);
    if (!title || file.indexOf(cell) < 0) continue;
    lenses.push({
      range: rangeIn(file, file.indexOf(cell), nameSpan(cell)),
      command: { title, command: 'pourbook.reviewChanges', arguments: [folder, review.id] },
    });
  }
  return lenses;
}
