/** The revision of a book for a sheet: a commit, marked where the files of the book have changed since. */
import { NO_REVISION } from '../answers/sheet.ts';
import { git } from './git.ts';

export async function revisionOf(folder: string): Promise<string> {
  try {
    const commit = (await git(folder, ['rev-parse', '--short', 'HEAD'])).toString().trim();
    const changed = (await git(folder, ['status', '--porcelain', '--', '.'])).toString().trim();
    return changed === '' ? commit : `${commit} and unsaved changes`;
  } catch {
    return NO_REVISION; // no repository, no commit yet, or no git
  }
}
