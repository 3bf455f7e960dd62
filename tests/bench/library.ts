/** A made-up formula library of any size, the same content as `.pour` text and as YAML with a schema. Deterministic. */

export interface Form {
  readonly language: string;
  readonly files: Readonly<Record<string, string>>;
  /** The file that is edited. */
  readonly main: string;
  /** Lines that hold an undercoat grey as `N5`. */
  readonly grey: RegExp;
  /** A word that is begun on the line behind that one. */
  readonly word: string;
}

interface Formula {
  readonly id: string;
  readonly name: string;
  readonly code: string;
  readonly grey: number;
  readonly target: number;
  readonly toners: readonly (readonly [code: string, parts: string])[];
}

const TONERS = Array.from({ length: 60 }, (_, index) => `T-${String(index + 1).padStart(2, '0')}`);

function* library(count: number): Generator<Formula> {
  let state = 42;
  const random = (below: number) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
  for (let index = 0; index < count; index++) {
    const codes = new Set<string>();
    for (const wanted = 5 + random(5); codes.size < wanted; ) codes.add(TONERS[random(TONERS.length)]!);
    yield {
      id: `F-${String(index).padStart(5, '0')}`,
      name: `Colour ${index}`,
      code: `code-${index}`,
      grey: 1 + random(9),
      target: [200, 250, 500, 1000][random(4)]!,
      toners: [...codes].map((code) => [code, `${5 + random(40)}.${random(10)}${random(10)}`] as const),
    };
  }
}

/** The formulas lie in files of `perFile` each; the first of them is the one that is edited. */
export function pourForm(count: number, perFile = count): Form {
  const shelf = [
    'book "Bench"\n  scale 0.1 g\n\nsystem WB "Waterborne"\n\nreading R-1 "Standard"\n  lab 45/0 50.00 0.00 0.00\n',
    'undercoat SEAL "Sealer"\n  grey N9.5 toner T-01 100\n  grey N1   toner T-02 100\n',
    ...TONERS.map((code) => `toner ${code} "Toner ${code}"\n  system WB\n`),
  ].join('\n');
  const formulas = [...library(count)].map(
    ({ id, name, code, grey, target, toners }) =>
      `formula ${id} "${name}"\n  maker Marram\n  code ${code}\n  years 2010..2019\n  finish solid\n  undercoat SEAL grey N${grey}\n  target weight ${target} g as poured\n  standard R-1\n` +
      toners.map(([toner, parts]) => `  toner ${toner} ${parts}\n`).join(''),
  );
  const files: Record<string, string> = { 'shelf.pour': shelf };
  for (let from = 0; from < count; from += perFile)
    files[`formulas-${from}.pour`] = formulas.slice(from, from + perFile).join('\n');
  return { language: 'pour', files, main: 'formulas-0.pour', grey: /^ {2}undercoat .*N\d$/, word: 't' };
}

export function yamlForm(count: number): Form {
  const formulas = [...library(count)].map(
    ({ id, name, code, grey, target, toners }) =>
      `  - id: ${id}\n    name: ${name}\n    maker: Marram\n    code: ${code}\n    years: [2010, 2019]\n    finish: solid\n    undercoat: N${grey}\n    target: ${target}\n    standard: R-1\n    parts:\n` +
      toners.map(([toner, parts]) => `      ${toner}: ${parts}\n`).join(''),
  );
  const parts = {
    type: 'object',
    minProperties: 1,
    additionalProperties: false,
    properties: Object.fromEntries(TONERS.map((code) => [code, { type: 'number', exclusiveMinimum: 0 }])),
  };
  const formula = {
    type: 'object',
    required: ['id', 'name', 'maker', 'code', 'years', 'finish', 'undercoat', 'target', 'standard', 'parts'],
    additionalProperties: false,
    properties: {
      id: { type: 'string', pattern: '^F-\\d{5}$' },
      name: { type: 'string' },
      maker: { type: 'string' },
      code: { type: 'string' },
      years: { type: 'array', minItems: 2, maxItems: 2, items: { type: 'integer' } },
      finish: { enum: ['solid', 'metallic', 'pearl'] },
      undercoat: { type: 'string', pattern: '^N(\\d|10)$' },
      target: { type: 'number', exclusiveMinimum: 0 },
      standard: { type: 'string' },
      parts,
    },
  };
  const schema = {
    $schema: 'http://json-schema.org/draft-07/schema#',
    type: 'object',
    properties: { formulas: { type: 'array', items: formula } },
  };
  return {
    language: 'yaml',
    files: {
      'formula.schema.json': JSON.stringify(schema),
      'formulas.yaml': `# yaml-language-server: $schema=./formula.schema.json\nformulas:\n${formulas.join('')}`,
    },
    main: 'formulas.yaml',
    grey: /^ {4}undercoat: N\d$/,
    word: 't',
  };
}
