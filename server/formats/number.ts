/** Numbers as exports write them: `0.0311`, `-18.40`, `.5`, `3.11E-02`; never hexadecimal, infinite or not a number. */

export type ReadNumber = { readonly value: number } | { readonly problem: string };

const PLAIN = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;
const WITH_COMMA = /^[+-]?(\d+,\d*|,\d+)([eE][+-]?\d+)?$/;

/** Reads one number whose decimal mark is known. The problem says what is wrong and what to write. */
export function readNumber(text: string, mark: '.' | ',' = '.'): ReadNumber {
  if (text === '') return { problem: 'A number is missing here; write it, or leave the whole column out.' };
  const pointed = mark === ',' && WITH_COMMA.test(text) ? text.replace(',', '.') : text;
  if (!PLAIN.test(pointed)) return { problem: whyNot(text) };
  const value = Number(pointed);
  if (!Number.isFinite(value))
    return { problem: `${short(text)} is too large to be a measured value; check the export.` };
  return { value };
}

/** Which decimal mark a number shows: none for `12`, both for `1.234,5`. */
export function decimalMarks(text: string): { readonly point: boolean; readonly comma: boolean } {
  return { point: text.includes('.'), comma: text.includes(',') };
}

function whyNot(text: string): string {
  if (/^[+-]?[\d.]*,[\d.,]*$/.test(text)) return `${short(text)} has a decimal comma; write a decimal point.`;
  if (/^[\u2010-\u2015\u2212]/.test(text)) return `${short(text)} begins with a typographic minus; write a plain '-'.`;
  if (/^[+-]?(nan|1\.#|#|inf|n\/?a$)/i.test(text))
    return `${short(text)} is no measured value; measure again, or leave the row out.`;
  return `${short(text)} is not a number; write it like 0.0311.`;
}

const short = (text: string): string => `'${text.length > 24 ? `${text.slice(0, 23)}…` : text}'`;
