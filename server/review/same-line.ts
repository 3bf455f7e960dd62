/** The line of another version of an entry that says the same thing, perhaps with another figure. */
import type { Entry, Line, Value } from '../../grammar/tree.ts';

/** Nothing where the other version has none, or where it cannot be told which of several it was. */
export function sameLine(entry: Entry, line: Line, other: Entry): Line | undefined {
  if (line === entry.head) return other.head;
  const key = keysOf(entry).get(line);
  if (key === undefined) return undefined;
  const found = [...keysOf(other)].filter(([, theirs]) => theirs === key);
  const own = [...keysOf(entry)].filter(([, theirs]) => theirs === key);
  return found.length === own.length ? found[own.findIndex(([one]) => one === line)]?.[0] : undefined;
}

/** The value in the same place of the same line; of several in places of one name the one that stands as far behind. */
export function sameValue(line: Line, value: Value, other: Line): Value | undefined {
  const like = ({ values }: Line) => values.filter((one) => one.place === value.place);
  return like(other)[like(line).indexOf(value)];
}

/** By what a line is known: a toner by its code in its coat, a colour by its angle, take and light. */
function keysOf({ lines }: Entry): Map<Line, string> {
  const keys = new Map<Line, string>();
  let coat = '';
  for (const line of lines) {
    if (!line.row) continue;
    const places = line.row.key.map((place) => line.values.find((one) => one.place === place)?.text.normalize('NFC'));
    if (line.word === 'coat') coat = places.join(' ');
    keys.set(line, [line.word, line.word === 'toner' ? coat : '', ...places].join('\n'));
  }
  return keys;
}
