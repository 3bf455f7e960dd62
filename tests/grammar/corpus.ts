/** The corpus: small files under corpus/, each with its expected tree and findings beside it, in a text that a reviewer can read. */
import { readdirSync, readFileSync } from 'node:fs';
import { cut } from '../../grammar/cutter.ts';
import type { Finding } from '../../grammar/finding.ts';
import { parseEntry } from '../../grammar/parse.ts';
import type { Entry, Line, Span, Value } from '../../grammar/tree.ts';

export const folder = new URL('./corpus/', import.meta.url);

export interface Sample {
  readonly name: string;
  readonly text: string;
}

export const corpus: readonly Sample[] = readdirSync(folder)
  .filter((file) => file.endsWith('.pour'))
  .sort()
  .map((file) => ({ name: file.slice(0, -5), text: readFileSync(new URL(file, folder), 'utf8') }));

/** Every entry of a text with the offset where it begins. */
export function entriesOf(text: string): { entry: Entry; text: string; start: number; side: string }[] {
  let start = 0;
  return cut(text).slices.map((slice) => {
    const at = start;
    start += slice.text.length;
    return { entry: parseEntry(slice), text: slice.text, start: at, side: slice.side };
  });
}

const visible = (text: string): string =>
  text.replace(
    /[\u0000-\u001f\u007f-\u00a0\u1680\u2000-\u200f\u2028-\u202f\u205f\u2060\u3000\ufeff\p{M}]/gu,
    (char) => `\\u{${char.codePointAt(0)!.toString(16)}}`,
  );

function valueText(value: Value): string {
  const numbers = value.numbers ? `[${[...value.numbers].join(' ')}]` : value.text;
  const quoted = value.type === 'text' ? `"${numbers}"` : numbers;
  return `${value.place}=${quoted}${value.unit ? ` (${value.unit})` : ''}`;
}

function lineText(text: string, line: Line): string {
  const parts = [
    ...line.values.map((value) => ({ from: value.from, text: valueText(value) })),
    ...line.words.map((word) => ({ from: word.from, text: word.text })),
  ].sort((a, b) => a.from - b.from);
  const known = line.row ? '' : '?';
  const comment = line.comment ? ` ${text.slice(line.comment.from, line.comment.to)}` : '';
  return `${line.word}${known}: ${parts.map((part) => part.text).join(', ')}${line.whole ? '' : ' …'}${comment}`;
}

/** Line and column, both from 1, of an offset. */
function place(text: string, offset: number): string {
  const before = text.slice(0, offset);
  const line = before.split('\n').length;
  return `${line}:${offset - before.lastIndexOf('\n')}`;
}

function findingText(text: string, start: number, finding: Finding): string[] {
  const span = (one: Span) => `${place(text, start + one.from)}-${place(text, start + one.to)}`;
  return [
    `  ${finding.severity} ${finding.code} ${span(finding)} ${finding.problem}`,
    `    ${finding.remedy}`,
    ...(finding.fixes ?? []).map(
      (fix) =>
        `    ${fix.sure ? 'sure ' : ''}fix: ${fix.title}: ${fix.edits.map((edit) => `${span(edit)} ${JSON.stringify(edit.text)}`).join(', ')}`,
    ),
  ];
}

/** The baseline of a text. */
export function described(text: string): string {
  const out: string[] = [];
  for (const { entry, text: own, start, side } of entriesOf(text)) {
    out.push(`${entry.kind ?? 'no entry'} ${place(text, start)}${side === 'none' ? '' : ` in conflict, ${side}`}`);
    if (entry.head) out.push(`  ${lineText(own, entry.head)}`);
    for (const line of entry.lines) out.push(`    ${lineText(own, line)}`);
    for (const comment of entry.comments)
      out.push(`  comment ${place(text, start + comment.from)} ${own.slice(comment.from, comment.to).trim()}`);
    for (const conflict of entry.conflicts)
      out.push(`  unread ${place(text, start + conflict.from)} ${own.slice(conflict.from, conflict.to)}`);
    for (const finding of entry.findings) out.push(...findingText(text, start, finding));
  }
  return `${out.map(visible).join('\n')}\n`;
}
