/** What was found in an imported file, one line each, as problem matchers read them: file:line:column: severity: message. */
import type { ImportFinding } from '../../formats/imported.ts';

export const importFindingsText = (file: string, findings: readonly ImportFinding[]): string =>
  findings.map((one) => `${file}:${one.line}:${one.column}: ${one.severity}: ${one.message}`).join('\n');
