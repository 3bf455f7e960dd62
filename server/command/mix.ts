import { resolve } from 'node:path';
import { type Command, InvalidArgumentError, Option } from 'commander';
import { type OrderAdvice, pourOrder } from '../answers/pour-order.ts';
import { type SheetAnswer, type SheetAsked, sheet } from '../answers/sheet.ts';
import { subject, Unanswerable } from '../answers/subject.ts';
import { type Quantity, toBase } from '../exact/quantity.ts';
import type { Rational } from '../exact/rational.ts';
import type { Dimension } from '../exact/units.ts';
import { sheetCsv } from '../report/csv/sheet.ts';
import { sheetHtml } from '../report/html/sheet.ts';
import { orderText } from '../report/text/pour-order.ts';
import { sheetText } from '../report/text/sheet.ts';
import { loadBook } from './load.ts';
import { revisionOf } from './revision.ts';
import { answer, type CommonOptions, type Output, quantityOption, verb } from './verb.ts';

type Format = 'text' | 'html' | 'json' | 'csv';

const AS: Readonly<Record<Format, (answer: SheetAnswer) => string>> = {
  text: sheetText,
  html: sheetHtml,
  csv: sheetCsv,
  json: (answer) => JSON.stringify(answer, null, 2),
};

type Shown = SheetAnswer & { readonly order?: readonly OrderAdvice[] };

/** The advice follows the sheet as text; the printed sheet and the columns keep to what is poured. */
function written(value: Shown, format: Format): string {
  const sheet = AS[format](value);
  return value.order && format === 'text' ? `${sheet}\n\n${orderText(value.order)}` : sheet;
}

interface Options extends CommonOptions {
  readonly weight?: Quantity;
  readonly volume?: Quantity;
  readonly area?: Quantity;
  readonly blend?: Quantity;
  readonly coats?: number;
  readonly film?: Quantity;
  readonly transfer?: Quantity;
  readonly ready?: boolean;
  readonly scale?: string;
  readonly cup?: Quantity;
  readonly leftover?: { readonly batch: string; readonly grams: Rational };
  readonly booth?: readonly Quantity[];
  readonly lotStrength?: boolean;
  readonly mode?: 'running' | 'tared';
  readonly format: Format;
  readonly order?: boolean;
}

/** `pourbook mix ID --weight 80g`: the undercoat grey with its pours, then the colour's, and what makes it ready to spray. */
export const mixVerb = (output: Output) =>
  withAmount(verb('mix', 'print what to pour: the undercoat grey first, then the colour'))
    .argument('<id>', 'the id of a formula or variant')
    .option('--order', 'add advice on the order of pouring, with its reasons')
    .action(async (id: string, options: Options) => {
      const folder = resolve(output.folder, options.book);
      const book = await loadBook(folder);
      const cell = subject(book, id, ['formula']);
      const found = sheet(book, cell, askedBy(options), await revisionOf(folder));
      const order = options.order ? { order: pourOrder(book, cell) } : undefined;
      answer(output, options, { ...found, ...order }, (value) => written(value, options.format));
      if (found.warnings.some((one) => one.kind === 'broken')) output.exitCode = 1;
    });

function withAmount(command: Command): Command {
  return command
    .option(
      '--weight <weight>',
      'how much, such as 80g; the target of the formula when nothing is said',
      measuring('mass', 'volume', 'area'),
    )
    .option('--volume <volume>', 'how much, such as 0.5l, by the densities of the toners', measuring('volume'))
    .option('--area <area>', 'the area to cover, such as 1.5m2, by solids, film and coats', measuring('area'))
    .option('--blend <area>', 'with --area: an area into which the colour is faded out', measuring('area'))
    .option('--coats <count>', "with --area: how often it is sprayed; the system's when nothing is said", countOption)
    .option('--film <thickness>', 'with --area: the dry film of all coats together, such as 18um', measuring('length'))
    .option('--transfer <share>', 'with --area: the share that stays on the part, such as 60%', measuring('share'))
    .option('--ready', 'the amount is meant ready to spray, with hardener and reducer in it')
    .option('--scale <id>', 'a scale of the shop; the bench scale when nothing is said')
    .option(
      '--cup <weight>',
      'the weight of the empty cup, which the scale carries, too, such as 60g',
      measuring('mass'),
    )
    .option(
      '--leftover <batch:weight>',
      'paint left of another batch that goes into the cup first, such as 2026-10-02-A:35g',
      leftoverOption,
    )
    .option('--booth <conditions>', 'temperature and humidity of the booth, such as 21C or 21C,45%RH', boothOption)
    .option('--lot-strength', 'pour more of a weak lot and less of a strong one')
    .addOption(new Option('--mode <mode>', 'how the scale is read').choices(['running', 'tared']).default('running'))
    .addOption(new Option('--format <format>', 'the form of the sheet').choices(Object.keys(AS)).default('text'));
}

const measuring =
  (...dimensions: readonly Dimension[]) =>
  (text: string): Quantity => {
    const quantity = quantityOption(text);
    if (!dimensions.includes(quantity.unit.dimension))
      throw new InvalidArgumentError(
        `${quantity.unit.symbol} is a ${quantity.unit.dimension}; a ${dimensions.join(' or ')} is needed.`,
      );
    return quantity;
  };

function countOption(text: string): number {
  const count = Number(text);
  if (!Number.isInteger(count) || count < 1 || count > 99)
    throw new InvalidArgumentError('Write a whole number, for example 3.');
  return count;
}

function boothOption(text: string): Quantity[] {
  try {
    return text.split(',').map(measuring('temperature', 'humidity'));
  } catch {
    throw new InvalidArgumentError('Write the temperature, or it and the humidity, for example 21C or 21C,45%RH.');
  }
}

function leftoverOption(text: string): { batch: string; grams: Rational } {
  const colon = text.lastIndexOf(':');
  if (colon < 1)
    throw new InvalidArgumentError('Write the batch and what is left of it, for example 2026-10-02-A:35g.');
  const grams = toBase(measuring('mass')(text.slice(colon + 1)));
  if (grams.lte(0)) throw new InvalidArgumentError('What is left must weigh something.');
  return { batch: text.slice(0, colon), grams };
}

/** @throws Unanswerable when two amounts are asked for at once. */
function askedBy(options: Options): SheetAsked {
  const amounts = [options.weight, options.volume, options.area].filter((one) => one !== undefined);
  if (amounts.length > 1) throw new Unanswerable('Ask for a weight, a volume or an area, not for several.');
  const [temperature, humidity] = (['temperature', 'humidity'] as const).map((dimension) => {
    const found = options.booth?.find((one) => one.unit.dimension === dimension);
    return found && toBase(found);
  });
  return {
    quantity: amounts[0],
    as: options.ready ? 'ready to spray' : undefined,
    coats: options.coats,
    film: options.film && toBase(options.film),
    transfer: options.transfer && toBase(options.transfer),
    blend: options.blend && toBase(options.blend),
    scale: options.scale,
    cup: options.cup && toBase(options.cup),
    leftover: options.leftover && { ...options.leftover, at: Date.now() },
    booth: options.booth && { ...(temperature ? { temperature } : {}), ...(humidity ? { humidity } : {}) },
    lotStrength: options.lotStrength,
    mode: options.mode,
  };
}
