/** What keeps a file from being read or written, in a sentence. */

const REASONS: Readonly<Record<string, string>> = {
  EACCES: 'permission is denied',
  EPERM: 'permission is denied',
  ENOENT: 'it is not there any more',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a file stands where a folder is meant',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk cannot be written to',
  ELOOP: 'its links lead round in a ring',
  EMFILE: 'too many files are open',
  ERR_FS_FILE_TOO_LARGE: 'it is too large',
};

/** Undefined for an error that is none of the disk's. */
export function diskProblem(error: unknown): string | undefined {
  const { code, path, syscall } = error as NodeJS.ErrnoException;
  if (!(error instanceof Error) || code === undefined || REASONS[code] === undefined) return undefined;
  const what = path === undefined ? 'A file' : `'${path}'`;
  return `${what} cannot be ${syscall === 'write' || code === 'ENOSPC' || code === 'EROFS' ? 'written' : 'read'}: ${REASONS[code]}.`;
}
