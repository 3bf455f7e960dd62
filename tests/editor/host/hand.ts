import type { FrameLocator, Locator, Page } from 'playwright-core';

// What a hand does in the workbench, for pictures and for what an extension cannot do by itself: press and read in a panel.

export async function command(page: Page, name: string): Promise<void> {
  await page.keyboard.press('F1');
  await choose(page, `>${name}`, name);
  await page.locator('.quick-input-widget').waitFor({ state: 'hidden' });
}

/** Rows of what was typed before stay for a moment, and Enter would take one of them: so wait for the row that is meant. */
async function choose(page: Page, typed: string, row: string): Promise<void> {
  await page.locator('.quick-input-widget input.input').fill(typed);
  await page.locator('.quick-input-list .monaco-list-row.focused', { hasText: row }).waitFor();
  await page.keyboard.press('Enter');
}

/** Opens a file of the book at the first line that has the text, with the cursor `plus` characters into it. */
export async function goTo(page: Page, file: string, text: string, plus = 1): Promise<void> {
  await page.keyboard.press('Control+P');
  await choose(page, file, file);
  await page.locator(`.tab.active[data-resource-name="${file}"]`).waitFor();
  await page.locator('.quick-input-widget').waitFor({ state: 'hidden' });
  await focusText(page);
  await page.keyboard.press('Control+Home');
  const find = await openFind(page);
  await find.locator('.find-part textarea').first().fill(text);
  // The search follows what is typed with a delay: what counts is that the editor has selected all of the text.
  await page.locator('.statusbar-item', { hasText: `(${text.length} selected)` }).waitFor();
  await page.keyboard.press('Escape'); // closes the search and leaves its find selected
  await page.keyboard.press('ArrowLeft');
  for (let step = 0; step < plus; step++) await page.keyboard.press('ArrowRight');
}

/** An editor that takes the place of a panel may come without the keyboard. */
async function focusText(page: Page): Promise<void> {
  const focused = page.locator('.editor-instance .monaco-editor.focused');
  await focused.waitFor({ timeout: 4000 }).catch(() => page.locator('.editor-instance .view-lines').first().click());
  await focused.waitFor();
}

/** On a busy machine the editor may not have the keyboard yet when the key is pressed. */
async function openFind(page: Page): Promise<Locator> {
  const find = page.locator('.editor-instance .find-widget.visible');
  for (let tries = 0; tries < 5; tries++) {
    await page.keyboard.press('Control+F');
    const opened = await find.waitFor({ timeout: 4000 }).then(
      () => true,
      () => false,
    );
    if (opened) break;
    await page.locator('.editor-instance .view-lines').first().click();
    await page.keyboard.press('Control+Home');
  }
  return find;
}

/** Types over a text of the book. */
export async function overtype(page: Page, file: string, was: string, is: string): Promise<void> {
  await goTo(page, file, was, 0);
  for (const _ of was) await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.type(is);
}

/** The page inside the panel. */
export const panelOf = (page: Page): FrameLocator =>
  page.frameLocator('iframe.webview').frameLocator('iframe#active-frame');
