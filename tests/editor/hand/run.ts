import type { Page } from 'playwright-core';
import type { Results } from '../suite/results.ts';

/** A test that works in the editor as a user does, for what no extension can see: the inside of a panel. */
export interface HandTest {
  title: string;
  body: (page: Page) => Promise<void>;
}

/** A window on the book as it was, and how it is closed. */
export interface Window {
  readonly page: Page;
  close(): Promise<void>;
}

/**
 * Runs the tests one after another in the same window; each leaves it so that the next can begin. One that fails is pictured and tried
 * once more in a new window, since a busy machine may lose a key; that it took two tries is told.
 */
export async function runByHand(
  open: () => Promise<Window>,
  tests: readonly HandTest[],
  picture: (page: Page, title: string) => Promise<void>,
): Promise<Results['tests']> {
  let window = await open();
  const results: Results['tests'] = [];
  try {
    for (const test of tests) {
      const first = await attempt(window.page, test);
      if (first.error !== undefined) {
        await picture(window.page, test.title);
        await window.close();
        window = await open();
        const second = await attempt(window.page, test);
        results.push(second.error === undefined ? { ...second, title: `${test.title} (at the second try)` } : first);
      } else results.push(first);
    }
  } finally {
    await window.close();
  }
  return results;
}

async function attempt(page: Page, { title, body }: HandTest): Promise<Results['tests'][number]> {
  page.setDefaultTimeout(30_000);
  const started = Date.now();
  const error = await page
    .locator('.monaco-workbench')
    .waitFor()
    .then(() => body(page))
    .then(
      () => undefined,
      (reason: Error) => reason.stack ?? reason.message,
    );
  return { title, milliseconds: Date.now() - started, ...(error === undefined ? {} : { error }) };
}
