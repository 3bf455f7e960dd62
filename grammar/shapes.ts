/** Reads single atoms and finds the slips in them: decimal commas, glued units, impossible dates, signs where none has a meaning. */
import type { IToken } from 'chevrotain';
import type { Finding } from './finding.ts';
import type { ValuePlace } from './place.ts';
import { article } from './sample.ts';

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

const PLAIN = /^\d+(?:\.\d+)?$/;

/** A number. A slip (41,20, .5, 5., 1e3, a minus that is no minus, 250g) is read as it is surely meant, with a finding and a fix. */
export function readNumber(token: IToken, findings: Finding[], place: ValuePlace): ReadText {
  const written = token.image;
  if (place.type !== 'delta' && PLAIN.test(written)) return { text: written };
  const [, sign = '', whole = '', mark, decimals, exponent, unit] = PARTS.exec(written) ?? [];
  const plainSign = sign === '\u2212' ? '-' : sign;
  let digits = `${whole || '0'}${decimals ? `.${decimals}` : ''}`;
  if (exponent !== undefined) digits = shifted(whole || '0', decimals ?? '', Number(exponent));
  if (exponent !== undefined && Math.abs(Number(exponent)) > MOST_SHIFTED) {
    findings.push(
      slip(
        token,
        'number-power',
        `'${shown(written)}' is written with a power of ten, and none that paint has.`,
        'Write the number in digits.',
      ),
    );
    return { text: `${plainSign}${digits}`, ...(unit ? { unit } : {}) };
  }
  const takesUnit = place.type === 'quantity' || place.type === 'measure' || place.type === 'delta';
  const right = `${plainSign}${digits}${unit && takesUnit ? ` ${unit}` : ''}`;
  if (unit && !takesUnit) {
    findings.push(
      slip(token, 'unit-unwanted', `The ${place.name} on this line carry no unit.`, `Write ${right}.`, right),
    );
  } else if (right !== written)
    findings.push(
      slip(
        token,
        slipCode(mark, exponent, sign, unit),
        slipProblem(written, mark, exponent, sign, unit),
        `Write ${right}.`,
        right,
      ),
    );
  if (sign !== '' && isUnsigned(place))
    findings.push(
      slip(token, 'number-signed', `A sign has no meaning before the ${place.name}.`, `Write ${right.slice(1)}.`),
    );
  if (place.type === 'delta' && sign === '') findings.push(bareDelta(token, digits));
  return { text: `${plainSign}${digits}`, ...(unit ? { unit } : {}) };
}

const isUnsigned = (place: ValuePlace): boolean =>
  (place.type === 'number' || place.type === 'quantity' || place.type === 'count') &&
  !SIGNED_QUANTITIES.has(place.args[0] ?? '');

function bareDelta(token: IToken, digits: string): Finding {
  const from = token.startOffset;
  const write = (sign: string) => ({ title: `Write ${sign}${digits}`, edits: [{ from, to: from, text: sign }] });
  return {
    code: 'delta-bare',
    severity: 'error',
    from,
    to: endOf(token),
    problem: `It is not clear whether ${digits} parts are added or replace what the parent has.`,
    remedy: `Write +${digits} for more, -${digits} for less, or = ${digits} for exactly that much.`,
    fixes: [write('+'), write('-'), write('= ')],
  };
}

/** Quantities that may be negative. */
const SIGNED_QUANTITIES = new Set(['temperature']);

const MOST_SHIFTED = 12;
const MOST_SHOWN = 40;
const shown = (text: string): string => (text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN)}…` : text);

/** Moves the decimal point by text, so that no digit is lost. */
function shifted(whole: string, decimals: string, by: number): string {
  const places = Math.max(-MOST_SHIFTED, Math.min(MOST_SHIFTED, by));
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
  if (mark === ',') return `'${shown(written)}' has a decimal comma.`;
  if (exponent !== undefined) return `'${shown(written)}' is written with a power of ten.`;
  if (sign === '\u2212')
    return `The minus of '${shown(written)}' is a typeset minus (U+2212), not the one on the keyboard.`;
  if (unit) return `'${shown(written)}' has no blank before its unit.`;
  return `'${shown(written)}' has a decimal point without digits on both sides.`;
}

export function count(token: IToken, findings: Finding[], place: ValuePlace): ReadText {
  const { text } = readNumber(token, findings, place);
  if (!/^[+-]?\d+$/.test(text))
    findings.push(
      slip(
        token,
        'number-whole',
        `'${shown(token.image)}' is no whole number.`,
        `Write the ${place.name} without a fraction.`,
      ),
    );
  return { text };
}

/** Most ids, without a look at Unicode. */
const USUAL_ID = /^[A-Za-z][A-Za-z0-9_-]*$/;
const ID = /^[\p{L}\d][\p{L}\p{M}\d_.-]*(?:\/[\p{L}\d][\p{L}\p{M}\d_.-]*)*$/u;
const DECIMAL = /^\d+\.\d+$/;
const MAY_HAVE_PATH = new Set(['variant', 'formula']);

export function id(token: IToken, findings: Finding[], place: ValuePlace): ReadText {
  if (USUAL_ID.test(token.image)) {
    if (isVariant(place)) findings.push(parentless(token));
    return { text: token.image };
  }
  const text = token.image.normalize('NFC');
  if (!ID.test(text) || text.includes('..') || DECIMAL.test(text)) {
    findings.push(
      slip(
        token,
        'id-shape',
        `'${shown(token.image)}' cannot be an id.`,
        'An id has letters, digits, _ . and -, begins with a letter or digit, and is no decimal number; / stands between the parts of a variant’s path.',
      ),
    );
  } else if (text.includes('/') && !place.args.some((kind) => MAY_HAVE_PATH.has(kind))) {
    findings.push(
      slip(
        token,
        'id-path',
        `'${shown(token.image)}' has the path of a variant, and ${article(place.args[0]!)} has no variants.`,
        `Write ${text.replaceAll('/', '-')}, for example.`,
      ),
    );
  } else if (place.type === 'new' && place.args[0] === 'formula' && text.includes('/')) {
    findings.push(
      slip(
        token,
        'id-path',
        `'${shown(token.image)}' is the path of a variant, not the id of a formula.`,
        `Begin the entry with the word variant, or write ${text.replaceAll('/', '-')}.`,
      ),
    );
  } else if (isVariant(place) && !text.includes('/')) findings.push(parentless(token));
  return { text };
}

const isVariant = (place: ValuePlace): boolean => place.type === 'new' && place.args[0] === 'variant';

const parentless = (token: IToken): Finding =>
  slip(
    token,
    'variant-parent',
    `The variant '${shown(token.image)}' does not say whose it is.`,
    `Write the id of its parent and a / before it: SAM-31/${token.image}.`,
  );

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
  if (USUAL_GEOMETRY.test(token.image)) return { text: token.image };
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

const USUAL_GEOMETRY = /^45as(15|25|45|75|110|-15)$/;

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
  const inside = token.image.slice(1, isClosed(token.image) ? -1 : undefined);
  return { text: inside.includes('\\') ? inside.replace(/\\(["\\])/g, '$1') : inside };
}

/** Does the text end with a quote of its own, not with an escaped one? */
function isClosed(image: string): boolean {
  if (image.length < 2 || !image.endsWith('"')) return false;
  let strokes = 0;
  while (image[image.length - 2 - strokes] === '\\') strokes++;
  return strokes % 2 === 0;
}
