/** Two colours side by side for a terminal: what differs in words, the verdict, what is doubtful, then the figures, worst first. */
import type { ComparisonAnswer, PairDifference } from '../../answers/compare.ts';
import { METRICS, type Metric } from '../../colour/difference.ts';
import { parseGeometry } from '../../colour/geometry.ts';
import { fixed, notes, sentence, signed } from './figures.ts';
import { table } from './table.ts';
import { verdictText } from './verdict.ts';

export function compareText(answer: ComparisonAnswer): string {
  if (answer.refused) return answer.refused;
  return [
    `${named(answer.sample, answer.by.sample)} against the standard ${named(answer.standard, answer.by.standard)}:`,
    ...verdictText(answer.differs, answer.verdict),
    ...notes(answer.notes),
    ...unstatedText(answer),
    ...flakeText(answer),
    '',
    figures(answer.pairs),
  ].join('\n');
}

/** `formula SAM-31 (by its card SAM-31-card)`. */
function named(name: string, by: string): string {
  const [kind, id] = [name.slice(0, name.indexOf(':')), name.slice(name.indexOf(':') + 1)];
  return id === by ? `${kind} ${id}` : `${kind} ${id} (by its card ${by})`;
}

/** Solid colours read at one angle have no flakes to speak of. */
function flakeText({ flakes, pairs }: ComparisonAnswer): string[] {
  const angled = pairs.some((pair) => parseGeometry(pair.geometry).kind === 'aspecular');
  return flakes.compared || angled ? [sentence(flakes.text)] : [];
}

/** Light by light in the order asked for, the worst angle of each first. */
function figures(pairs: readonly PairDifference[]): string {
  const metrics = METRICS.filter((metric) => pairs[0] && metric in pairs[0]);
  const lights = [...new Set(pairs.map(lightOf))];
  const worst = (pair: PairDifference) => Number(pair[metrics.includes('dE00') ? 'dE00' : (metrics[0] ?? '')]);
  const rows = lights.flatMap((light) =>
    pairs
      .filter((pair) => lightOf(pair) === light)
      .sort((a, b) => worst(b) - worst(a))
      .map((pair, index) => row(pair, index === 0 ? light : '', metrics)),
  );
  const head = ['light', 'angle', 'the sample is', 'dL', 'da', 'db', 'dC', 'dH', ...metrics];
  return table([head, ...rows], ['left', 'left', 'left', ...head.slice(3).map(() => 'right' as const)]);
}

const lightOf = ({ illuminant, observer }: PairDifference): string => `${illuminant}/${observer}`;

const row = (pair: PairDifference, light: string, metrics: readonly Metric[]): string[] => [
  light,
  pair.geometry,
  pair.direction,
  ...[pair.dL, pair.da, pair.db, pair.dC, pair.dH].map((value) => signed(value, 2)),
  ...metrics.map((metric) => fixed(Number(pair[metric]), 2)),
];

/** Of what two readings may leave unsaid, these a painter would want to know. */
function unstatedText({ unstated }: ComparisonAnswer): string[] {
  const told = unstated.filter((kind) => kind === 'surface' || kind === 'polish' || kind === 'instrument');
  return told.length === 0 ? [] : [`Not stated for both, so not held against them: ${told.join(', ')}.`];
}
