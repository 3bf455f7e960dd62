import { expect, test } from 'vitest';
import { FOLDER, session } from './session.ts';

const BROKEN = 'formula F "Marram"\n  tonner A 5\n';
const base64 = (text: string) => Buffer.from(text).toString('base64');

test('an editor that lists the files hides what its user hides; the disk is read directly', async () => {
  const { told, until, end } = await session({
    files: { 'seen.pour': BROKEN, 'hidden.pour': BROKEN },
    initializationOptions: { files: true },
    answers: { 'pourbook/listFiles': ({ folder }: { folder: string }) => [`${folder}seen.pour`] },
  });
  await until(() => told.size > 0);
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect([...told.keys()]).toEqual([`${FOLDER}/seen.pour`]);
  end();
});

test('a folder that is not on the disk is read through the editor', async () => {
  const { told, until, end } = await session({
    folders: ['vault://shop/book'],
    initializationOptions: { files: true },
    answers: {
      'pourbook/listFiles': () => ['vault://shop/book/a.pour', 'vault://shop/book/gone.pour'],
      'pourbook/readFile': ({ uri }: { uri: string }) => {
        if (uri.endsWith('gone.pour')) throw new Error('no such file');
        return { base64: base64(BROKEN) };
      },
    },
  });
  await until(() => told.has('vault://shop/book/a.pour'));
  expect(told.get('vault://shop/book/a.pour')!.map((one) => one.code)).toContain('word-unknown');
  end();
});

test('an editor that cannot list after all leaves it to the disk, and another one is not asked', async () => {
  for (const files of [true, false]) {
    let asked = 0;
    const { told, until, end } = await session({
      files: { 'a.pour': BROKEN },
      initializationOptions: { files },
      answers: {
        'pourbook/listFiles': () => {
          asked++;
          throw new Error('not now');
        },
      },
    });
    await until(() => told.has(`${FOLDER}/a.pour`));
    expect(asked > 0).toBe(files);
    end();
  }
});

test('folders of tools and of version control are passed over, whoever lists', async () => {
  const { told, until, end } = await session({
    files: {
      'deep/a.pour': BROKEN,
      'node_modules/x/a.pour': BROKEN,
      '.git/a.pour': BROKEN,
      'deep/dist/a.pour': BROKEN,
    },
  });
  await until(() => told.size > 0);
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect([...told.keys()]).toEqual([`${FOLDER}/deep/a.pour`]);
  end();
});
