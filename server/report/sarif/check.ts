import type { CheckAnswer } from '../../answers/check.ts';
import { pages } from '../../book/manual.ts';
import { sarifText } from './sarif.ts';

const LEVELS = { error: 'error', warning: 'warning', info: 'note' } as const;

export const checkSarif = (answer: CheckAnswer): string =>
  sarifText(
    answer.findings.map(({ code, severity, message, file, line, column }) => ({
      rule: code,
      level: LEVELS[severity],
      message,
      file,
      line,
      column,
    })),
    [...pages].map(([id, { title, text }]) => ({ id, text: title, help: text })),
  );
