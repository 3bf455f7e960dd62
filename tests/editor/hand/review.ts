import { assert } from 'chai';
import type { Page } from 'playwright-core';
import { command, overtype, panelOf } from '../host/hand.ts';
import type { HostKind } from '../host/host.ts';
import type { HandTest } from './run.ts';

const CHANGES = 'Review the Changes Since the Last Commit';
const VERSIONS = 'Review the Book Between Two Versions';

/** The file may have been saved meanwhile, so that reverting would leave it as it is. */
async function undo(page: Page): Promise<void> {
  for (const _ of 'GRN-2  43.20') await page.keyboard.press('Control+Z');
}

const withGit: HandTest = {
  title: 'The line above a changed formula opens the review, which leads to the lines by keyboard and is copied',
  async body(page) {
    await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await overtype(page, 'samphire.pour', 'GRN-2  41.20', 'GRN-2  43.20');
    await page.locator('.codelens-decoration a', { hasText: 'needs a spray-out' }).first().click();
    const review = panelOf(page);
    const rows = review.locator('button.row');
    await rows.first().waitFor();
    assert.match((await rows.first().textContent()) ?? '', /^SAM-31 approved needs a spray-out/);
    await review.locator('button.row[aria-current=true]', { hasText: 'SAM-31' }).waitFor();
    await review.getByRole('heading', { name: 'SAM-31 Samphire Green' }).waitFor();
    await review.getByRole('cell', { name: '43.2', exact: true }).first().waitFor();

    await review.getByRole('button', { name: 'Copy as Markdown' }).click();
    await page.locator('.statusbar-item', { hasText: 'on the clipboard' }).waitFor();
    const copied = await page.evaluate(() => navigator.clipboard.readText());
    assert.match(copied, /^### the files as they are against HEAD/);

    await rows.first().focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    const line = await page.locator('.statusbar-item', { hasText: 'Ln ' }).textContent();
    await page
      .locator('.statusbar-item', { hasText: /Ln 30, Col 1/ })
      .waitFor({ timeout: 15_000 })
      .catch(() => {
        throw new Error(`the cursor is not at the variant: ${line}`);
      });
    await undo(page);
    await review.getByRole('status').filter({ hasText: 'Nothing that the book says has changed' }).waitFor();

    await command(page, VERSIONS);
    const typed = page.locator('.quick-input-widget input.input');
    await page.locator('.quick-input-title', { hasText: 'Which version was before?' }).waitFor();
    await typed.fill('main');
    await page.keyboard.press('Enter');
    await page.locator('.quick-input-title', { hasText: 'Which version came after main?' }).waitFor();
    await typed.fill('HEAD');
    await page.keyboard.press('Enter');
    await review.getByRole('heading', { name: 'HEAD against main' }).waitFor();
    await command(page, 'View: Close All Editor Groups');
  },
};

const withoutGit: HandTest = {
  title: 'Where there is no git, the review says so',
  async body(page) {
    await overtype(page, 'samphire.pour', 'GRN-2  41.20', 'GRN-2  43.20');
    await command(page, CHANGES);
    await page.locator('.notification-toast', { hasText: 'This editor has no git here' }).waitFor();
    await page.locator('.monaco-editor .view-lines').first().click();
    await undo(page);
    await command(page, 'Notifications: Clear All Notifications');
    await command(page, 'View: Close All Editor Groups');
  },
};

export const reviewTests = (kind: HostKind): readonly HandTest[] => [kind === 'worker' ? withoutGit : withGit];
