import type { Page } from 'playwright-core';
import type { Results } from '../suite/results.ts';

/** A test that works in the editor as a user does, for what no extension can see: the inside of a panel. */
export interface HandTest {
  title: string;
  body: (page: Page) => Promise<void>;
}

/** Runs the tests one after another in the same window; each leaves it so that the next can begin. */
export async function runByHand(page: Page, tests: readonly HandTest[]): Promise<Results['tests']> {
  page.setDefaultTimeout(40_000);
  await page.locator('.monaco-workbench').waitFor();
  const results: Results['tests'] = [];
  for (const { title, body } of tests) {
    const started = Date.now();
    const error = await body(page).then(
      () => undefined,
      (reason: Error) => reason.stack ?? reason.message,
    );
    results.push({ title, milliseconds: Date.now() - started, ...(error === undefined ? {} : { error }) });
  }
  return results;
}
