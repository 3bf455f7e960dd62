import { assert } from 'chai';
import type { FrameLocator, Page } from 'playwright-core';
import { command, goTo, panelOf } from '../host/hand.ts';
import type { HandTest } from './run.ts';

const OPEN = 'Open the Pour Sheet Beside';

async function closePanel(page: Page): Promise<void> {
  await command(page, 'View: Close All Editor Groups');
  await page.locator('iframe.webview').waitFor({ state: 'detached' });
}

/** A file that is still being reverted would be asked about when its editor is closed. */
async function revert(page: Page): Promise<void> {
  await command(page, 'File: Revert File');
  await page.locator('.tab.dirty').waitFor({ state: 'detached' });
}

/** What the line with the next figure says, as soon as it says it. */
const says = (sheet: FrameLocator, text: string | RegExp): Promise<void> =>
  sheet.getByRole('status').filter({ hasText: text }).waitFor();

async function openSheet(page: Page, at: string): Promise<FrameLocator> {
  await goTo(page, 'samphire.pour', at);
  await command(page, OPEN);
  return panelOf(page);
}

export const sheetTests: readonly HandTest[] = [
  {
    title: 'The pour sheet opens from the palette before any book is open, and says what to do',
    async body(page) {
      await goTo(page, 'samphire.pour', 'formula SAM-31');
      await page.locator('.view-line', { hasText: '103.0 g' }).waitFor(); // the extension is awake
      await command(page, 'View: Close All Editor Groups');
      await command(page, OPEN);
      await says(panelOf(page), 'Open a file of a book');
      await goTo(page, 'samphire.pour', 'formula SAM-31'); // in the same place, so that the panel is behind it
      await command(page, OPEN);
      await panelOf(page).getByRole('heading', { name: 'Samphire Green' }).waitFor();
      await page.locator('.monaco-editor .view-lines').first().waitFor();
      await closePanel(page);
    },
  },
  {
    title: 'It opens from the palette while a line is half typed and suggestions are offered',
    async body(page) {
      await goTo(page, 'samphire.pour', 'note         "Stir', 0);
      await page.keyboard.press('ArrowUp');
      await page.keyboard.press('End');
      await page.keyboard.press('Enter');
      await page.keyboard.type('toner ');
      await page.keyboard.press('Control+Space');
      await page.locator('.suggest-widget.visible .monaco-list-row').first().waitFor();
      await command(page, OPEN);
      await panelOf(page).getByRole('heading', { name: 'Samphire Green' }).waitFor();
      await page.locator('.monaco-editor .view-lines').first().click();
      await revert(page);
      await closePanel(page);
    },
  },
  {
    title: 'The sheet is ticked off by keyboard, and the next figure is told to a screen reader',
    async body(page) {
      const sheet = await openSheet(page, 'formula SAM-31');
      await sheet.getByRole('textbox', { name: 'Amount' }).fill('80');
      await sheet.getByRole('heading', { name: 'Colour, 80.0 g' }).waitFor();
      const box = (name: RegExp) => sheet.getByRole('checkbox', { name });
      await box(/^SEAL-W/).focus();
      for (const key of ['Space', 'ArrowDown', 'Space', 'ArrowDown']) await page.keyboard.press(key);
      await says(sheet, 'GRN-2 until the scale shows 33.0 g');
      await page.keyboard.press('Space');
      await says(sheet, 'ALU-C until the scale shows 51.0 g');
      assert.equal(await sheet.getByRole('status').getAttribute('aria-live'), 'polite');
      await page.keyboard.press('Space');
      await says(sheet, 'GRN-2 until the scale shows 33.0 g');
      assert.isTrue(await box(/^GRN-2 Phthalo green until the scale shows 33.0 g$/).isVisible());
      assert.equal(await sheet.getByRole('columnheader', { name: 'scale shows' }).count(), 2);
      await sheet.getByRole('textbox', { name: 'Amount' }).fill('eighty');
      await says(sheet, "'eighty' is no amount");
      await closePanel(page);
    },
  },
  {
    title: 'The sheet follows what is typed into a batch',
    async body(page) {
      const sheet = await openSheet(page, 'formula SAM-31');
      await sheet.getByRole('heading', { name: 'Samphire Green' }).waitFor();
      await page.locator('.monaco-editor .view-lines').first().click();
      await page.keyboard.press('Control+End');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Shift+Tab'); // back to the margin
      await page.keyboard.type('batch B-1 of SAM-31/dark\nmake 80 g');
      await says(sheet, 'GRN-2 until the scale shows 33.2 g');
      await page.keyboard.type('\npoured GRN-2 33.2 g');
      await says(sheet, 'ALU-C until the scale shows 50.5 g');
      assert.isTrue(await sheet.getByRole('checkbox', { name: /^GRN-2/ }).isChecked());
      await page.keyboard.type('\npoured ALU-C 18.0 g');
      await sheet.getByRole('heading', { name: 'Ways out' }).waitFor();
      await says(sheet, 'Too much is in the cup. If it stays: BLK-1 until the scale shows 52.5 g');
      await revert(page);
      await closePanel(page);
    },
  },
  {
    title: 'Nothing but its own script runs in the panel, and nothing can be loaded into it',
    async body(page) {
      const sheet = await openSheet(page, 'formula SAM-31');
      await sheet.getByRole('heading', { name: 'Samphire Green' }).waitFor();
      const came = await sheet.locator('body').evaluate(async (body) => {
        const script = document.createElement('script');
        script.textContent = 'document.body.dataset.ran = "yes"';
        body.append(script);
        const image = new Image();
        const loaded = new Promise((resolve) => {
          image.onload = () => resolve('loaded');
          image.onerror = () => resolve('refused');
        });
        image.src = 'data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA=';
        const fetched = await fetch(location.href).then(
          () => 'fetched',
          () => 'refused',
        );
        return { script: body.dataset.ran ?? 'refused', image: await loaded, fetched };
      });
      assert.deepEqual(came, { script: 'refused', image: 'refused', fetched: 'refused' });
      await closePanel(page);
    },
  },
];
