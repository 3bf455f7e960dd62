/** Writes the files that are made from the table of words. Run: npx tsx .scripts/grammar.ts */
import { writeFileSync } from 'node:fs';
import { generated } from './generated.ts';

for (const { path, text } of generated()) writeFileSync(new URL(`../${path}`, import.meta.url), text);
