/** The path of a colour through its history, as rows and as a chart, for every form in which it is shown. */
import { Unanswerable } from '../answers/subject.ts';
import { difference } from '../colour/difference.ts';
import type { HistoryAnswer, HistoryStep } from '../review/history.ts';
import { anglesKnown, at, furthestAngle, type PathPoint } from '../review/path.ts';
import { pathSvg } from './svg/path.ts';

/** A version with its colour, numbered from the oldest. */
export interface Version {
  readonly number: number;
  readonly step: HistoryStep;
  readonly colour: PathPoint;
}

/** Oldest first. */
export const versionsOf = ({ steps }: HistoryAnswer): Version[] =>
  steps.toReversed().flatMap((step, index) => (step.colour ? [{ number: index + 1, step, colour: step.colour }] : []));

/**
 * `worst` is the angle at which the colour went furthest; empty where nothing is known of it.
 * @throws Unanswerable for an angle at which nothing is known.
 */
export function anglesShown(versions: readonly Version[], wanted: string): string[] {
  const points = versions.map(({ colour }) => colour);
  const known = anglesKnown(points);
  if (known.length === 0) return [];
  if (wanted === 'all') return known;
  if (wanted === 'worst') return [furthestAngle(points)!];
  if (known.includes(wanted)) return [wanted];
  throw new Unanswerable(
    `Nothing is known at '${wanted}'. Write one of ${known.join(', ')}, or worst, or all: --angle ${known[0]}`,
  );
}

export function pathChart(versions: readonly Version[], geometry: string): string {
  const standard = versions.map(({ colour }) => at(colour.standard?.angles, geometry)).findLast(Boolean);
  return pathSvg({
    title: `At ${geometry}`,
    steps: versions.map(({ number, colour }) => ({
      number,
      measured: at(colour.measured?.angles, geometry)?.lab,
      predicted: at(colour.predicted?.angles, geometry)?.lab,
    })),
    standard,
  });
}

export const PATH_HEAD = ['', 'date', 'measured L* a* b*', 'card', 'off the standard', 'predicted L* a* b*', '±'];

/** A row for each version, the oldest first. */
export const pathRows = (versions: readonly Version[], geometry: string): string[][] =>
  versions.map(({ number, step, colour }, index) => {
    const measured = at(colour.measured?.angles, geometry);
    const predicted = at(colour.predicted?.angles, geometry);
    const standard = at(colour.standard?.angles, geometry);
    return [
      String(number),
      step.date.slice(0, 10),
      measured ? labText(measured.lab) : '–',
      measured ? colour.measured!.card : '–',
      measured && standard
        ? `${difference('dE00', standard.lab, measured.lab).toFixed(1)} of ${standard.tolerance.toFixed(1)} dE00`
        : '–',
      predicted ? labText(predicted.lab) : '–',
      predicted ? `${predicted.plusMinus.toFixed(1)}${otherFit(versions, index) ? ' (another optics.lock)' : ''}` : '–',
    ];
  });

const labText = (lab: readonly number[]): string => lab.map((value) => value.toFixed(1)).join(' ');

/** A step of the prediction that the model made, not the formula. */
function otherFit(versions: readonly Version[], index: number): boolean {
  const own = versions[index]!.colour.predicted?.fit;
  const earlier = versions.slice(0, index).findLast(({ colour }) => colour.predicted)?.colour.predicted?.fit;
  return earlier !== undefined && own !== earlier;
}
