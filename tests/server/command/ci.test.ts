/** The CI recipes of samples/ci by running their commands. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { copyFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { parse } from 'yaml';
import { COMMAND } from './bundled.ts';
import { repository, repositoryIn } from './repository.ts';
import { folderOf } from './shop.ts';
import { book, card } from './small-book.ts';

const sample = (name: string) => fileURLToPath(new URL(`../../../samples/ci/${name}`, import.meta.url));

const REST = book()['rest.pour']!;

async function withChange(rest: string) {
  const made = await repository(book());
  made.git('checkout', '-q', '-b', 'change');
  await made.commit('change', { 'rest.pour': rest });
  await copyFile(sample('review.sh'), join(made.folder, 'review.sh'));
  return made;
}

const run = (folder: string, script: string, env: Record<string, string> = {}) =>
  spawnSync('sh', ['-c', script], {
    cwd: folder,
    encoding: 'utf8',
    env: { ...process.env, POURBOOK: COMMAND, ...env },
  });

interface Step {
  readonly name?: string;
  readonly run?: string;
}

const workflow = parse(readFileSync(sample('github-actions.yml'), 'utf8')) as {
  readonly jobs: { readonly review: { readonly steps: readonly Step[] } };
};

it('the workflow reviews by the recipe, and a harmless change passes', async () => {
  const made = await withChange(REST.replace('"Gull Grey"', '"Gull Grey, vans"'));
  const review = workflow.jobs.review.steps.find(({ name }) => name === 'Review')!;
  const { status, stdout, stderr } = run(made.folder, review.run!, { BASE: made.git('rev-parse', 'main') });
  expect(stderr).toBe('');
  expect(status).toBe(0);
  expect(stdout).toContain('Gull Grey, vans');
  for (const file of ['review.md', 'review.html', 'review.sarif', 'review.xml', 'check.sarif'])
    expect(existsSync(join(made.folder, 'pourbook-review', file)), file).toBe(true);
  for (const { run: script } of workflow.jobs.review.steps) expect(script ?? '').not.toContain('${{');
});

it('fails where an expectation stops holding, and says why it cannot run', async () => {
  const made = await withChange(`${REST}\n${card('C-2', '10', '55', '2026-10-01')}`);
  const { status, stdout } = run(made.folder, 'sh review.sh main');
  expect(status).toBe(1);
  expect(stdout).toContain('does not hold any more');
  expect(run(made.folder, 'sh review.sh main', { FAIL_ON: 'none' }).status).toBe(0);
  expect(run(made.folder, 'sh review.sh nowhere')).toMatchObject({
    status: 2,
    stderr: expect.stringContaining('--unshallow'),
  });
  const clone = await folderOf({});
  repositoryIn(clone).git('clone', '-q', '--depth', '1', '--branch', 'change', `file://${made.folder}`, '.');
  await copyFile(sample('review.sh'), join(clone, 'review.sh'));
  expect(run(clone, 'sh review.sh HEAD~1').status).toBe(2);
});
