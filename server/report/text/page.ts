/** A page of the manual for a terminal: without the marks of Markdown, in lines that can be read. */
import type { Page } from '../../book/checks/check.ts';

const WIDTH = 96; // characters

export const pageText = ({ code, title, text }: Page): string =>
  [`${code}: ${title}.`, ...wrapped(text.replaceAll('`', "'"))].join('\n');

function wrapped(text: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    if (line !== '' && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = '';
    }
    line += line === '' ? word : ` ${word}`;
  }
  return [...lines, line];
}
