/** SARIF 2.1.0 (OASIS), the form in which CI shows findings beside the lines. */

export interface SarifResult {
  readonly rule: string;
  readonly level: 'error' | 'warning' | 'note';
  readonly message: string;
  /** Path below the folder from which the command was run, with strokes. */
  readonly file: string;
  /** From 1. */
  readonly line: number;
  readonly column?: number;
}

export interface SarifRule {
  readonly id: string;
  readonly text: string;
  /** What to do about it, in Markdown. */
  readonly help?: string;
}

export function sarifText(results: readonly SarifResult[], rules: readonly SarifRule[]): string {
  const used = new Set(results.map(({ rule }) => rule));
  const told = rules.filter(({ id }) => used.has(id));
  for (const id of used) if (!told.some((rule) => rule.id === id)) told.push({ id, text: id });
  const indices = new Map(told.map(({ id }, index) => [id, index]));
  return JSON.stringify(
    {
      $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
      version: '2.1.0',
      runs: [
        {
          tool: {
            driver: { name: 'pourbook', rules: told.map(ruleOf) },
          },
          // Columns are counted as the language server counts them.
          columnKind: 'utf16CodeUnits',
          results: results.map((result) => ({ ...resultOf(result), ruleIndex: indices.get(result.rule) })),
        },
      ],
    },
    null,
    2,
  );
}

const ruleOf = ({ id, text, help }: SarifRule) => ({
  id,
  shortDescription: { text },
  ...(help === undefined ? {} : { help: { text: help, markdown: help } }),
});

function resultOf({ rule, level, message, file, line, column }: SarifResult) {
  return {
    ruleId: rule,
    level,
    message: { text: message },
    locations: [
      {
        physicalLocation: {
          artifactLocation: { uri: file.split(/[\\/]/).map(encodeURIComponent).join('/') },
          region: { startLine: line, ...(column === undefined ? {} : { startColumn: column }) },
        },
      },
    ],
  };
}
