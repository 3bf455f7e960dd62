/** The places of the line that is being written, with the one at the cursor marked. */
import type { Position, SignatureHelp } from 'vscode-languageserver';
import { signatureAt } from '../../grammar/at-cursor.ts';
import type { BookFile } from '../book/file.ts';

export function signatureHelp(file: BookFile, position: Position): SignatureHelp | null {
  const { index, offset } = file.locate(position);
  const cell = file.cells[index];
  const found = cell && signatureAt(cell.slice.text, offset, cell.entry);
  if (!found) return null;
  const { label, parts, active, row } = found;
  return {
    signatures: [
      {
        label,
        documentation: { kind: 'markdown', value: `${row.help}\n\n\`${row.example}\`` },
        parameters: parts.map(({ from, to }) => ({ label: [from, to] })),
      },
    ],
    activeSignature: 0,
    // A number behind the last place marks none.
    activeParameter: active < 0 ? parts.length : active,
  };
}
