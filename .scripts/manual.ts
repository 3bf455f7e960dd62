/** Writes the manual of the findings. Run: npx tsx .scripts/manual.ts */
import { writeFileSync } from 'node:fs';
import { manual } from '../server/book/manual.ts';

writeFileSync(new URL('../server/book/manual.md', import.meta.url), manual());
