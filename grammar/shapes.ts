/** Reads single atoms and finds the slips in them: decimal commas, glued units, impossible dates, signs where none has a meaning. */
import type { IToken } from 'chevrotain';
import type { Finding } from './finding.ts';
import type { ValuePlace } from './place.ts';

export interface ReadText {
  readonly text: string;
  readonly unit?: string;
}

const endOf = (token: IToken): number => token.endOffset! + 1;

function slip(token: IToken, code: string, problem: string, remedy: string, right?: string): Finding {
  const from = token.startOffset;
  const to = endOf(token);
  const fixes =
    right === undefined ? {} : { fixes: [{ title: `Write ${right}`, edits: [{ from, to, text: right }], sure: true }] };
  return { code, severity: right === undefined ? 'error' : 'warning', from, to, problem, remedy, ...fixes };
}

const PARTS = /^([+\-\u2212]?)(\d*)(?:([.,])(\d*))?(?:[eE]([+-]?\d+))?(\p{L}[\p{L}\d/]*|%)?$/u;

/** A number. A slip (41,20, .5, 5., 1e3, a minus that is no minus, 250g) is read as it is surely meant, with a finding and a fix. */
export function readNumber(token: IToken, findings: Finding[], place: ValuePlace): ReadText {
  const written = token.image;
  const [, sign = '', whole = '', mark, decimals, exponent, unit] = PARTS.exec(written) ?? [];
  const plainSign = sign === '\u2212' ? '-' : sign;
  let digits = `${whole || '0'}${decimals ? `.${decimals}` : ''}`;
  if (exponent !== undefined) digits = shifted(whole || '0', decimals ?? '', Number(exponent));
  const right = `${plainSign}${digits}${unit ? ` ${unit}` : ''}`;
  if (right !== written)
    findings.push(
      slip(
        token,
        slipCode(mark, exponent, sign, unit),
        slipProblem(written, mark, exponent, sign, unit),
        `Write ${right}.`,
        right,
      ),
    );
  if (
    sign !== '' &&
    (place.type === 'number' || place.type === 'quantity' || place.type === 'count') &&
    !SIGNED_QUANTITIES.has(place.args[0] ?? '')
  ) {
    const bare = right.slice(1);
    findings.push(slip(token, 'number-signed', `A sign has no meaning before the ${place.name}.`, `Write ${bare}.`));
  }
  if (place.type === 'delta' && sign === '') {
    const from = token.startOffset;
    findings.push({
      code: 'delta-bare',
      severity: 'error',
      from,
      to: endOf(token),
      problem: `It is not clear whether ${digits} parts are added or replace what the parent has.`,
      remedy: `Write +${digits} for more, -${digits} for less, or = ${digits} for exactly that much.`,
      fixes: [
        { title: `Write +${digits}`, edits: [{ from, to: from, text: '+' }] },
        { title: `Write -${digits}`, edits: [{ from, to: from, text: '-' }] },
        { title: `Write = ${digits}`, edits: [{ from, to: from, text: '= ' }] },
      ],
    });
  }
  return { text: `${plainSign}${digits}`, ...(unit ? { unit } : {}) };
}

/** Quantities that may be negative. */
const SIGNED_QUANTITIES = new Set(['temperature', '']);

/** Moves the decimal point by text, so that 1e400 stays a long number and never becomes infinite. */
function shifted(whole: string, decimals: string, by: number): string {
  const places = Math.max(-30, Math.min(30, by));
  const all = whole + decimals;
  const point = whole.length + places;
  if (point <= 0) return `0.${'0'.repeat(-point)}${all}`;
  const padded = all.padEnd(point, '0');
  return `${padded.slice(0, point)}${point < padded.length ? `.${padded.slice(point)}` : ''}`;
}

function slipCode(
  mark: string | undefined,
  exponent: string | undefined,
  sign: string,
  unit: string | undefined,
): string {
  if (mark === ',') return 'number-comma';
  if (exponent !== undefined) return 'number-power';
  if (sign === '\u2212') return 'number-minus';
  return unit ? 'unit-glued' : 'number-point';
}

function slipProblem(
  written: string,
  mark: string | undefined,
  exponent: string | undefined,
  sign: string,
  unit: string | undefined,
): string {
  if (mark === ',') return `'${written}' has a decimal comma.`;
  if (exponent !== undefined) return `'${written}' is written with a power of ten.`;
  if (sign === '\u2212') return `The minus of '${written}' is a typeset minus (U+2212), not the one on the keyboard.`;
  if (unit) return `'${written}' has no blank before its unit.`;
  return `'${written}' has a decimal point without digits on both sides.`;
}

export function count(token: IToken, findings: Finding[], place: ValuePlace): ReadText {
  const { text } = readNumber(token, findings, place);
  if (!/^[+-]?\d+$/.test(text))
    findings.push(
      slip(
        token,
        'number-whole',
        `'${token.image}' is no whole number.`,
        `Write the ${place.name} without a fraction.`,
      ),
    );
  return { text };
}

const ID_PART = /^[\p{L}\d](?:[\p{L}\d_-]|\.(?!\.))*$/u;

export function id(token: IToken, findings: Finding[]): ReadText {
  const text = token.image.normalize('NFC');
  if (/^[+-]?\d+\.\d+$/.test(text) || !text.split('/').every((part) => ID_PART.test(part))) {
    findings.push(
      slip(
        token,
        'id-shape',
        `'${token.image}' cannot be an id.`,
        'An id has letters, digits, _ . and -, begins with a letter or digit, and is no decimal number; / stands between the parts of a variant’s path.',
      ),
    );
  }
  return { text };
}

export function date(token: IToken, findings: Finding[]): ReadText {
  const [, year, month, day, , hour, minute] = /^(\d{4})-(\d\d)-(\d\d)(T(\d\d):(\d\d))?/.exec(token.image) ?? [];
  const days = new Date(Date.UTC(Number(year), Number(month), 0)).getUTCDate();
  const valid =
    Number(month) >= 1 &&
    Number(month) <= 12 &&
    Number(day) >= 1 &&
    Number(day) <= days &&
    Number(hour ?? 0) < 24 &&
    Number(minute ?? 0) < 60;
  if (!valid)
    findings.push(
      slip(
        token,
        'date-impossible',
        `There is no such date or time as ${token.image}.`,
        'Write year-month-day, and the time behind a T: 2026-10-14T09:20.',
      ),
    );
  return { text: token.image };
}

export function geometry(token: IToken, findings: Finding[]): ReadText {
  const aspecular = /^(\d+)as(-?\d+)$/.exec(token.image);
  if (aspecular && (Number(aspecular[1]) > 80 || Math.abs(Number(aspecular[2])) > 180)) {
    findings.push(
      slip(
        token,
        'geometry-impossible',
        `No instrument has the angles of ${token.image}.`,
        'Write the angle of illumination, as, and the angle from the gloss: 45as15.',
      ),
    );
  }
  return { text: token.image };
}

export function range(token: IToken, findings: Finding[]): ReadText {
  const [, from, to, step] = /^(\d+(?:\.\d+)?)\.\.(\d+(?:\.\d+)?)?(?:\/(\d+(?:\.\d+)?))?$/.exec(token.image) ?? [];
  if (to !== undefined && Number(to) < Number(from))
    findings.push(slip(token, 'range-backward', `The range ${token.image} runs backward.`, `Write ${to}..${from}.`));
  if (step !== undefined && Number(step) <= 0)
    findings.push(
      slip(token, 'range-step', `The range ${token.image} has no step.`, 'Write a step above zero: 400..700/10.'),
    );
  return { text: token.image };
}

export function unquote(token: IToken): ReadText {
  if (!token.image.startsWith('"')) return { text: token.image };
  const closed = /^"(?:[^"\\]|\\.)*"$/.test(token.image);
  return { text: token.image.slice(1, closed ? -1 : undefined).replace(/\\(["\\])/g, '$1') };
}
