/** The manual of all findings: a page for each code, as data for the editor and the command line, and as Markdown. */
import type { Page } from './checks/check.ts';
import { checks } from './checks/index.ts';
import { syntaxPages } from './syntax-pages.ts';

const checkPages: readonly Page[] = checks.flatMap((check) => check.pages);

export const pages: ReadonlyMap<string, Page> = new Map(
  [...syntaxPages, ...checkPages].map((page) => [page.code, page]),
);

const INTRODUCTION = `<!-- Written from the pages of the checks by .scripts/manual.ts; edit those, not this file. -->
# What the findings mean

Every finding has a code, says what is wrong and what to write instead. An **error** keeps something from being mixed or computed as it
is written; a **warning** is likely wrong or risky; an **info** is good to know. Limits that are called common practice come from no
standard: they are settings of the book, or defaults where the book is silent.
`;

/** The manual as Markdown; the heading of each page is its code, so that `#grey-off-scale` leads to it. */
export function manual(): string {
  return [INTRODUCTION, chapter('How it is written', syntaxPages), chapter('What it says', checkPages)].join('\n');
}

const chapter = (title: string, of: readonly Page[]): string =>
  [`## ${title}\n`, ...of.map((page) => pageMarkdown(page, '###'))].join('\n');

/** One page by itself, or in the manual with a deeper heading. */
export const pageMarkdown = ({ code, title, text }: Page, heading = '#'): string =>
  `${heading} ${code}\n\n**${title}.** ${text}\n`;
