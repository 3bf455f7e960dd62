/** The options that say under which lights and for which observers. */
import { type Command, InvalidArgumentError } from 'commander';
import type { Illuminant } from '../colour/illuminants.ts';
import type { Observer } from '../colour/observers.ts';
import { parseIlluminant, parseObserver, type Viewing } from '../colour/viewing.ts';

export interface ViewingOptions {
  readonly illuminant?: readonly Illuminant[];
  readonly observer?: readonly Observer[];
}

export function withViewings(command: Command): Command {
  return command
    .option(
      '--illuminant <names>',
      "illuminants, such as D65,A,F11; the book's when nothing is said",
      listOf(parseIlluminant),
    )
    .option('--observer <degrees>', "observers, such as 10,2; the book's when nothing is said", listOf(parseObserver));
}

/** Every illuminant with every observer; what is not said is taken from the book. */
export function viewingsAsked({ illuminant, observer }: ViewingOptions, book: readonly Viewing[]): readonly Viewing[] {
  if (!illuminant && !observer) return book;
  const illuminants = illuminant ?? unique(book.map((one) => one.illuminant));
  const observers = observer ?? unique(book.slice(0, 1).map((one) => one.observer));
  return illuminants.flatMap((light) => observers.map((degrees) => ({ illuminant: light, observer: degrees })));
}

/** Reads a list with commas; what stands twice counts once. */
export function listOf<T>(parse: (text: string) => T): (text: string) => readonly T[] {
  return (text) => unique(text.split(',').map((part) => readAs(parse, part.trim())));
}

const unique = <T>(values: readonly T[]): T[] => [...new Set(values)];

/** Commander tells an InvalidArgumentError as a mistake of the command line. */
export function readAs<T>(parse: (text: string) => T, text: string): T {
  try {
    return parse(text);
  } catch (error) {
    if (error instanceof RangeError) throw new InvalidArgumentError(error.message);
    throw error;
  }
}
