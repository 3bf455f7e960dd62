/** Two colours side by side for a terminal. */
import type { ComparisonAnswer } from '../../answers/compare.ts';
import { table } from './table.ts';

export function compareText(answer: ComparisonAnswer): string {
  const metrics = Object.keys(answer.pairs[0] ?? {}).filter((key) => /^(dE|din)/.test(key));
  const head = ['angle', 'light', 'dL', 'da', 'db', 'dC', 'dH', ...metrics];
  const rows = answer.pairs.map((pair) => [
    pair.geometry,
    `${pair.illuminant}/${pair.observer}`,
    ...[pair.dL, pair.da, pair.db, pair.dC, pair.dH].map((value) => value.toFixed(2)),
    ...metrics.map((metric) => Number(pair[metric]).toFixed(2)),
  ]);
  return `${answer.sample} against the standard ${answer.standard}:\n${table([head, ...rows], ['left', 'left', ...head.slice(2).map(() => 'right' as const)])}`;
}
