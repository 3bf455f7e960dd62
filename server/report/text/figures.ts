/** Figures and sentences as a terminal shows them. */

/** Fixed places, and no minus before a zero. */
export function fixed(value: number, places: number): string {
  const text = value.toFixed(places);
  return /^-0\.?0*$/.test(text) ? text.slice(1) : text;
}

/** With its sign, as differences are told. */
export const signed = (value: number, places: number): string => {
  const text = fixed(value, places);
  return Number(text) > 0 ? `+${text}` : text;
};

/** First letter large, a full stop behind. */
export const sentence = (text: string): string => (text === '' ? '' : `${text[0]!.toUpperCase()}${text.slice(1)}.`);

/** What differs, as it is told where there is nothing to tell, too. */
export const inWords = (differs: string): string =>
  differs.startsWith('no clear direction') ? 'no direction that is worth telling' : differs;

/** What makes figures doubtful, a line each. */
export const notes = (texts: readonly string[]): string[] => texts.map((text) => `Note: ${text}.`);
