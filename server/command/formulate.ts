import { InvalidArgumentError } from 'commander';
import { formulate } from '../answers/formulate.ts';
import type { Price } from '../answers/formulate-limits.ts';
import { subject } from '../answers/subject.ts';
import { formulateText } from '../report/text/formulate.ts';
import { loadBookWithOptics } from './optics.ts';
import { answer, type CommonOptions, type Output, verb } from './verb.ts';

interface Options extends CommonOptions {
  readonly system?: string;
  readonly most?: number;
  readonly must?: readonly string[];
  readonly mustNot?: readonly string[];
  readonly limit?: ReadonlyMap<string, number>;
  readonly mostVoc?: number;
  readonly mostPrice?: Price;
  readonly undercoat?: string;
  readonly coats?: number;
  readonly film?: number;
}

/** `pourbook formulate READING`: formulas of few toners that come near to a reading. */
export const formulateVerb = (output: Output) =>
  verb('formulate', 'find formulas of few toners for a reading')
    .argument('<reading>', 'the id of the reading')
    .option('--system <id>', 'the paint system; when nothing is said, that of its formula, else the best known')
    .option('--most <count>', 'toners besides the binder, at most (5)', countOption)
    .option('--must <toners>', 'toners that have to be in it, with commas', codes)
    .option('--must-not <toners>', 'toners that must not be in it, with commas', codes)
    .option('--limit <toner=percent>', 'largest share of a toner, such as BLK-1=2; may be given again', limitOption)
    .option('--most-voc <g/l>', 'most VOC ready to spray, as the limit of the book counts it, such as 420', vocOption)
    .option(
      '--most-price <money/unit>',
      'most money for a kilogram or litre as poured, such as 25/kg or 30/l',
      priceOption,
    )
    .option('--undercoat <grey>', 'what it is sprayed on: a grey, such as N5 or "L* 51", or the id of a formula')
    .option('--coats <count>', 'coats that are sprayed on it, where it need not hide, such as 2', coatsOption)
    .option('--film <um>', 'their dry film instead, such as 40um', filmOption)
    .action(async (id: string, options: Options) => {
      const book = await loadBookWithOptics(output, options.book);
      const found = formulate(book, subject(book, id, ['reading', 'sprayout', 'drawdown']), {
        system: options.system,
        most: options.most,
        must: options.must ?? [],
        mustNot: options.mustNot ?? [],
        mostVoc: options.mostVoc,
        mostPrice: options.mostPrice,
        undercoat: options.undercoat,
        coats: options.coats,
        film: options.film,
        ...(options.limit ? { limits: options.limit } : {}),
      });
      answer(output, options, found, formulateText);
    });

const codes = (text: string, before: readonly string[] = []): readonly string[] => [
  ...before,
  ...text.split(',').flatMap((part) => part.trim() || []),
];

function countOption(text: string): number {
  if (!/^[1-8]$/.test(text)) throw new InvalidArgumentError('Write how many toners, 1 to 8.');
  return Number(text);
}

function coatsOption(text: string): number {
  const count = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || !(count > 0 && count <= 20))
    throw new InvalidArgumentError('Write how many coats, such as 2.');
  return count;
}

function filmOption(text: string): number {
  const [, um] = /^\s*(\d+(?:\.\d+)?)\s*(?:um)?\s*$/.exec(text) ?? [];
  if (um === undefined || !(Number(um) > 0 && Number(um) <= 1000))
    throw new InvalidArgumentError('Write the dry film in micrometres, such as 40um.');
  return Number(um);
}

function limitOption(text: string, before: ReadonlyMap<string, number> = new Map()): ReadonlyMap<string, number> {
  const limits = new Map(before);
  for (const part of text.split(',')) {
    const [, code, percent] = /^\s*([^=\s]+)\s*=\s*(\d+(?:\.\d+)?)\s*%?\s*$/.exec(part) ?? [];
    if (code === undefined || !(Number(percent) > 0 && Number(percent) <= 100))
      throw new InvalidArgumentError('Write a toner and a share in per cent, such as BLK-1=2.');
    limits.set(code, Number(percent));
  }
  return limits;
}

function vocOption(text: string): number {
  const [, grams] = /^\s*(\d+(?:\.\d+)?)\s*(?:g\/l)?\s*$/.exec(text) ?? [];
  if (grams === undefined) throw new InvalidArgumentError('Write grams per litre, such as 420.');
  return Number(grams);
}

function priceOption(text: string): Price {
  const [, money, unit] = /^\s*(\d+(?:\.\d+)?)\s*(?:[A-Z]{3})?\s*\/\s*(kg|l)\s*$/.exec(text) ?? [];
  if (money === undefined || unit === undefined)
    throw new InvalidArgumentError('Write money for a kilogram or a litre, such as 25/kg or 30/l.');
  return { amount: Number(money), per: unit as Price['per'] };
}
