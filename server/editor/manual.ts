/**
 * The pages of the manual in the editor. A finding leads to its page where the editor says under which scheme it opens pages; it then
 * asks for their text.
 */
import { RequestType } from 'vscode-languageserver';
import { pageMarkdown, pages } from '../book/manual.ts';

export const pageRequest: RequestType<{ code: string }, string | null, void> = new RequestType('pourbook/page');

/** The page of a finding as Markdown; null for a code that has none. */
export function pageOf(code: string): string | null {
  const page = pages.get(code);
  return page ? pageMarkdown(page) : null;
}

/** Where the editor opens the page of a code, in the scheme that it named; undefined for a code without a page. */
export const pageUri = (scheme: string, code: string): string | undefined =>
  pages.has(code) ? `${scheme}:/${code}.md` : undefined;
