// Draws client/pictures/pourbook.png from the SVG beside it; run after the drawing was changed.
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

const pictures = fileURLToPath(new URL('../client/pictures/', import.meta.url));
const svg = await readFile(`${pictures}pourbook.svg`, 'utf8');
const browser = await chromium.launch({
  executablePath: process.env.POURBOOK_CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});
const page = await browser.newPage({ viewport: { width: 256, height: 256 } });
await page.setContent(`<style>body { margin: 0 } svg { display: block }</style>${svg}`);
await page.screenshot({ path: `${pictures}pourbook.png`, omitBackground: true });
await browser.close();
