import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { diskProblem } from '../../../server/command/disk-problem.ts';
import { folderOf } from './shop.ts';

it('says in a sentence why a file or folder cannot be read or written', async () => {
  const folder = await folderOf({ 'a.pour': '' });
  const told = (done: Promise<unknown>) => done.then(() => undefined, diskProblem);
  expect(await told(readFile(folder))).toMatch(/^A file cannot be read: it is a folder\.$/);
  expect(await told(readdir(join(folder, 'gone')))).toMatch(/^'.*gone' cannot be read: it is not there any more\.$/);
  expect(await told(readdir(join(folder, 'a.pour')))).toMatch(/a file stands where a folder is meant/);
  expect(await told(writeFile(join(folder, 'gone', 'x'), ''))).toMatch(/it is not there any more/);
  const denied = Object.assign(new Error('EACCES'), { code: 'EACCES', syscall: 'scandir', path: '/locked' });
  expect(diskProblem(denied)).toBe("'/locked' cannot be read: permission is denied.");
});

it('leaves other errors alone', () => {
  for (const error of [new Error('no'), new TypeError('x'), Object.assign(new Error('x'), { code: 'E_ELSE' }), 'x', 3])
    expect(diskProblem(error)).toBeUndefined();
});
