/** What is wrong with the unit of a quantity. */
import { unit, unitAdvice } from '../server/exact/units.ts';
import type { Finding } from './finding.ts';
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
  const expected = { is: 'value', place } as const;
  const phrase = phraseOf(expected);
  const examples = accepted.map((dimension) => EXAMPLES[dimension] ?? dimension).join(' or ');
  const { from, to } = span ?? number;
  const finding = (code: string, problem: string, remedy: string): Finding => ({
    code,
    severity: 'error',
    from,
    to,
    problem,
    remedy,
  });
  if (written === undefined) {
    const usual = USUAL[accepted[0]!];
    return [
      {
        ...finding(
          'unit-missing',
          `${sentence(phrase)} ${isPlural(expected) ? 'have' : 'has'} no unit.`,
          `Write the unit behind a blank: ${examples}.`,
        ),
        ...(usual ? { fixes: [{ title: `Write ${usual}`, edits: [{ from: to, to, text: ` ${usual}` }] }] } : {}),
      },
    ];
  }
  const found = unit(written);
  if (!found) {
    const advice = unitAdvice(written);
    const remedy = advice
      ? `${advice[0]!.toUpperCase()}${advice.slice(1)}.`
      : `Write ${examples || 'a unit such as g or dE00'}.`;
    return [
      {
        ...finding('unit-unknown', `'${written.slice(0, 40)}' is not a unit of this language.`, remedy),
        ...(span && advice ? unitFixes(advice, accepted, span) : {}),
      },
    ];
  }
  if (place.type === 'measure' || accepted.includes(found.dimension)) return [];
  return [
    finding(
      'unit-wrong',
      `${sentence(phrase)} cannot be given in ${written}: that is a ${found.dimension}.`,
      `Write ${examples}.`,
    ),
  ];
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
  density: 'g/ml',
  'colour difference': 'dE00',
};
