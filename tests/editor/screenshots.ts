import { execFileSync } from 'node:child_process';
import { cp, mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { ensureCodeServer } from './host/code-server.ts';
import { command, goTo, overtype, panelOf } from './host/hand.ts';
import { findChromium, openWorkbench } from './host/workbench.ts';
import { pack } from './pack.ts';
import { commitAll } from './repository.ts';

// Takes pictures of the packed extension at work on the sample book, as a user sees it, into dist/screenshots.

// `npm run screenshots -- Review` takes only those of the part with this word in its name.
const only = process.argv[2];

const root = fileURLToPath(new URL('../..', import.meta.url));
const pictures = join(root, 'dist/screenshots');

const settings = {
  'security.workspace.trust.enabled': false,
  'workbench.colorTheme': 'Default Light Modern',
  'workbench.layoutControl.enabled': false,
  'workbench.statusBar.visible': true,
  'window.commandCenter': false,
  'editor.fontSize': 14,
  'editor.minimap.enabled': false,
  'editor.occurrencesHighlight': 'off',
  'editor.selectionHighlight': false,
  'editor.stickyScroll.enabled': false,
  'editor.lightbulb.enabled': 'off',
  'breadcrumbs.enabled': false,
  'explorer.openEditors.visible': 0,
};

async function picture(page: Page, name: string): Promise<void> {
  await page.screenshot({ path: join(pictures, `${name}.png`) });
  console.log(`dist/screenshots/${name}.png`);
}

async function hover(page: Page, name: string): Promise<void> {
  await command(page, 'Show or Focus Hover');
  await page.locator('.monaco-hover:not(.hidden) .hover-contents').first().waitFor();
  await page.waitForTimeout(500); // the hover's box grows while its pictures load
  await picture(page, name);
  await page.keyboard.press('Escape');
}

async function takePictures(page: Page): Promise<void> {
  await goTo(page, 'formulas-metallic.pour', 'formula SAM-31', 'formula SA'.length);
  await page
    .locator('.view-line span[class*="dyn-rule"], .view-line .inlay-hint, .view-line [class*="ced-"]')
    .first()
    .waitFor();
  await page.locator('.view-line', { hasText: 'dE00 predicted' }).first().waitFor();
  await picture(page, 'hints');
  await hover(page, 'hover-formula');

  await goTo(page, 'formulas-metallic.pour', '41.20', 1);
  await hover(page, 'hover-figure');

  await goTo(page, 'formulas-metallic.pour', 'toner BLK-1   1.25', 'toner '.length);
  for (const _ of 'BLK-1') await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.type('BLCK-1');
  await command(page, 'Problems: Focus on Problems View');
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'BLCK-1' }).first().waitFor();
  await goTo(page, 'formulas-metallic.pour', 'BLCK-1', 2);
  await picture(page, 'problems');
  await page.keyboard.press('Control+.');
  await page.locator('.action-widget').waitFor();
  await picture(page, 'quick-fix');
  await page.keyboard.press('Enter');
  await page.locator('.markers-panel .monaco-list-row', { hasText: 'BLCK-1' }).first().waitFor({ state: 'hidden' });
  await command(page, 'View: Toggle Panel Visibility');

  await goTo(page, 'formulas-metallic.pour', 'toner BND-0  34.95', 0);
  await page.keyboard.press('End');
  await page.keyboard.press('Enter');
  await page.keyboard.type('toner ');
  await page.keyboard.press('Control+Space');
  await page.locator('.suggest-widget.visible .monaco-list-row').first().waitFor();
  await picture(page, 'completion');
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+Shift+K'); // the half-typed line
}

/** The command is there only while the bar is. */
async function withoutSideBar(page: Page): Promise<void> {
  if (await page.locator('.part.sidebar').isVisible()) await command(page, 'View: Close Primary Side Bar');
}

/** The panel beside the text, of a formula and of a batch that was over-poured. */
async function takePanelPictures(page: Page): Promise<void> {
  await goTo(page, 'formulas-metallic.pour', 'formula SAM-31', 'formula SA'.length);
  await withoutSideBar(page);
  await page.locator('.editor-actions a[aria-label*="Pour Sheet"]').click();
  const sheet = panelOf(page);
  await sheet.locator('tr').first().waitFor();
  await sheet.locator('#number').fill('80');
  await sheet.locator('h2', { hasText: 'Colour, 80.0 g' }).waitFor();
  for (const name of [/^SEAL-W/, /^SEAL-K/, /^WB-R20/, /^GRN-2/]) {
    await sheet.getByRole('checkbox', { name }).first().focus();
    await page.keyboard.press('Space');
  }
  await sheet.locator('#next', { hasText: 'ALU-C until the scale shows 51.0 g' }).waitFor();
  await picture(page, 'sheet-panel');
  await page.locator('.monaco-editor .view-lines').first().click();
  await goTo(page, 'batches.pour', 'poured ALU-C 18.0', 0);
  await sheet.locator('h2', { hasText: 'Ways out' }).waitFor();
  await page.locator('.view-line', { hasText: 'next 52.5 g' }).waitFor();
  await picture(page, 'sheet-panel-batch');
}

/** The line above a formula that was changed, and the panel that it opens, in a light, a dark and a high-contrast theme. */
async function takeReviewPictures(page: Page): Promise<void> {
  await command(page, 'View: Close All Editor Groups');
  await withoutSideBar(page);
  await overtype(page, 'formulas-metallic.pour', 'BLK-1   1.25', 'BLK-1   1.45');
  const above = page.locator('.codelens-decoration a', { hasText: 'colour moved' }).first();
  await above.waitFor();
  await goTo(page, 'formulas-metallic.pour', '1.45', 1);
  await picture(page, 'review-above');
  await hover(page, 'review-hover');
  await above.click();
  const review = panelOf(page);
  await review.locator('button.row').first().waitFor();
  await review.getByRole('heading', { level: 1 }).scrollIntoViewIfNeeded();
  await picture(page, 'review-panel');
  for (const theme of ['Dark Modern', 'Dark High Contrast']) {
    await page.keyboard.press('Control+K');
    await page.keyboard.press('Control+T');
    await page.locator('.quick-input-widget input.input').fill(theme);
    await page.keyboard.press('Enter');
    await page.waitForTimeout(1500);
    await picture(page, `review-panel-${theme.toLowerCase().replaceAll(' ', '-')}`);
  }
}

const place = await mkdtemp(join(tmpdir(), 'pourbook-pictures-'));
const workspace = join(place, 'Saltmarsh Coachworks');
await cp(join(root, 'samples/book'), workspace, { recursive: true });
execFileSync(process.execPath, [join(root, 'dist/pourbook.cjs'), 'fit', '--write', '--book', workspace]);
commitAll(workspace);
await mkdir(join(place, 'profile'));
await mkdir(pictures, { recursive: true });
const workbench = await openWorkbench({
  codeServer: await ensureCodeServer(console.log),
  chromium: await findChromium(),
  workspace,
  profile: join(place, 'profile'),
  vsix: pack(root),
  settings,
  viewport: { width: 1180, height: 760 },
});
workbench.page.setDefaultTimeout(60_000);
try {
  await workbench.page.locator('.monaco-workbench').waitFor();
  const parts = [takePictures, takePanelPictures, takeReviewPictures];
  for (const part of parts) if (!only || part.name.includes(only)) await part(workbench.page);
} catch (error) {
  await picture(workbench.page, 'where-it-failed');
  throw error;
} finally {
  await workbench.close();
  await rm(place, { recursive: true, force: true });
}
