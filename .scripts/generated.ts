/** The files made from the table of words: path from the root of the repository, and text. */
import { languageReference } from '../grammar/reference.ts';
import { snippets } from '../grammar/snippets.ts';
import { languageConfiguration, markdownGrammar, textMateGrammar } from '../grammar/textmate.ts';

const json = (value: object): string => `${JSON.stringify(value, undefined, 2)}\n`;

export const generated = (): { path: string; text: string }[] => [
  { path: 'grammar/pour.tmLanguage.json', text: json(textMateGrammar()) },
  { path: 'grammar/pour-markdown.tmLanguage.json', text: json(markdownGrammar()) },
  { path: 'grammar/language-configuration.json', text: json(languageConfiguration()) },
  { path: 'grammar/snippets.json', text: json(snippets()) },
  { path: 'grammar/reference.md', text: languageReference() },
];
