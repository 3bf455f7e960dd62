/** What every verb of the command line shares: its options, how it answers, and its exit codes. */
import { Command, InvalidArgumentError } from 'commander';
import type { Quantity } from '../exact/quantity.ts';
import { rational } from '../exact/rational.ts';
import { unit, unitAdvice } from '../exact/units.ts';

/** 0 clean, 1 findings, 2 could not run. */
export type ExitCode = 0 | 1 | 2;

export interface Output {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** The folder in which the command was given. */
  readonly folder: string;
  /** Starts the language server in this process. */
  readonly serve: () => Promise<void>;
  exitCode: ExitCode;
}

export interface CommonOptions {
  readonly book: string;
  readonly json?: boolean;
}

export function verb(name: string, description: string): Command {
  return new Command(name)
    .description(description)
    .option('--book <folder>', 'the folder of the book', '.')
    .option('--json', 'print JSON')
    .helpOption('--help', 'show what the verb does and its options');
}

/** Answers as JSON or as text. */
export function answer<T>(output: Output, options: CommonOptions, value: T, asText: (value: T) => string): void {
  output.out(options.json ? JSON.stringify(value, null, 2) : asText(value));
}

/** Reads `80g`, `80 g` or `0.5 l`. */
export function quantityOption(text: string): Quantity {
  const [, number, symbol] = /^\s*(\d+(?:\.\d+)?)\s*([^\s\d.,]\S*)\s*$/.exec(text) ?? [];
  if (number === undefined || symbol === undefined) {
    const comma = /^\s*(\d+),(\d+)(.*)$/.exec(text);
    throw new InvalidArgumentError(
      comma
        ? `It has a decimal comma. Write ${comma[1]}.${comma[2]}${comma[3]!.trim() || 'g'}.`
        : 'Write a number and a unit, for example 80g.',
    );
  }
  const by = unit(symbol);
  if (!by)
    throw new InvalidArgumentError(
      `'${symbol}' is not a unit of this language. ${unitAdvice(symbol) ?? 'Write for example 80g or 0.5l.'}`,
    );
  return { value: rational(number), unit: by };
}
