/** What is wrong with the unit of a quantity. */
import { unit, unitAdvice } from '../server/exact/units.ts';
import type { Finding, Fix } from './finding.ts';
import { dimensionsOf, type ValuePlace } from './place.ts';
import { isPlural, phraseOf } from './sample.ts';
import type { Span } from './tree.ts';

/**
 * `number` is where the number stands, `written` the unit as written, with its span unless it is glued to the number. A `measure`
 * place takes any unit.
 */
export function unitFindings(
  place: ValuePlace,
  number: Span,
  written: string | undefined,
  span: Span | undefined,
): Finding[] {
  const accepted = dimensionsOf(place);
  if (written === undefined) return [unitMissing(place, span ?? number)];
  const at = span ?? number;
  const found = unit(written);
  if (!found) return [unitUnknown(place, at, written, span !== undefined)];
  if (place.type === 'measure' || accepted.includes(found.dimension)) return [];
  const problem = `${subjectOf(place)} cannot be given in ${written}: that is a ${found.dimension}.`;
  const wrong = error('unit-wrong', at, problem, `Write ${examplesOf(place)}.`);
  return [span && accepted[0] === 'humidity' && written === '%' ? { ...wrong, fixes: [relative(span)] } : wrong];
}

const relative = ({ from, to }: Span): Fix => ({ title: 'Write %RH', edits: [{ from, to, text: '%RH' }] });

const error = (code: string, { from, to }: Span, problem: string, remedy: string): Finding => ({
  code,
  severity: 'error',
  from,
  to,
  problem,
  remedy,
});

const examplesOf = (place: ValuePlace): string =>
  dimensionsOf(place)
    .map((dimension) => EXAMPLES[dimension] ?? dimension)
    .join(' or ');

const subjectOf = (place: ValuePlace): string => sentence(phraseOf({ is: 'value', place }));

function unitMissing(place: ValuePlace, at: Span): Finding {
  const usual = USUAL[dimensionsOf(place)[0]!];
  const lacks = isPlural({ is: 'value', place }) ? 'have' : 'has';
  const remedy = `Write the unit behind a blank: ${examplesOf(place)}.`;
  const finding = error('unit-missing', at, `${subjectOf(place)} ${lacks} no unit.`, remedy);
  if (!usual) return finding;
  return { ...finding, fixes: [{ title: `Write ${usual}`, edits: [{ from: at.to, to: at.to, text: ` ${usual}` }] }] };
}

/** `fixable`: the unit has a place of its own, which a fix can write anew. */
function unitUnknown(place: ValuePlace, at: Span, written: string, fixable: boolean): Finding {
  const advice = unitAdvice(written);
  const remedy = advice ? `${sentence(advice)}.` : `Write ${examplesOf(place) || 'a unit such as g or dE00'}.`;
  const finding = error('unit-unknown', at, `'${written.slice(0, 40)}' is not a unit of this language.`, remedy);
  return fixable && advice ? { ...finding, ...unitFixes(advice, dimensionsOf(place), at) } : finding;
}

const sentence = (phrase: string): string => phrase[0]!.toUpperCase() + phrase.slice(1);

/** The units that the advice names, where writing them changes no figure: degrees Fahrenheit are no Celsius. */
function unitFixes(advice: string, accepted: readonly string[], span: Span): Pick<Finding, 'fixes'> {
  if (advice.includes('Celsius')) return {};
  const named = [...advice.matchAll(/'([^']+)'/g)].map((match) => match[1]!);
  const fitting = named.filter((symbol) => {
    const dimension = unit(symbol)?.dimension;
    return dimension !== undefined && (accepted.length === 0 || accepted.includes(dimension));
  });
  if (fitting.length === 0) return {};
  return { fixes: fitting.map((symbol) => ({ title: `Write ${symbol}`, edits: [{ ...span, text: symbol }] })) };
}

const EXAMPLES: Record<string, string> = {
  mass: 'g, kg, mg or lb',
  volume: 'ml, l, floz-US …',
  length: 'um, mm or mil',
  area: 'm2 or ft2',
  temperature: 'C',
  time: 'min, h or days',
  share: '%',
  humidity: '%RH',
  density: 'g/ml',
  'colour difference': 'dE00',
  'price per volume': 'a price such as EUR/l',
  'price per mass': 'a price such as EUR/kg',
};
const USUAL: Record<string, string> = {
  mass: 'g',
  volume: 'ml',
  length: 'um',
  area: 'm2',
  temperature: 'C',
  share: '%',
  humidity: '%RH',
  density: 'g/ml',
  'colour difference': 'dE00',
};
