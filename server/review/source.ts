/** One version of a book as it lies in a folder or in a commit: paths below the book's folder, and what they hold. */

export interface SourceFile {
  /** Two files of the same id hold the same; a git object name, or the text itself. */
  readonly id: string;
  readonly text: string;
}

export interface SourceBytes {
  readonly id: string;
  readonly read: () => Promise<Uint8Array | undefined>;
}

export interface Source {
  /** How a person calls this version: `main`, `HEAD`, `the working tree`, a folder. */
  readonly label: string;
  /** Its full name in git; nothing for files as they lie there. */
  readonly commit?: string;
  /** The `.pour` files by path. */
  readonly files: ReadonlyMap<string, SourceFile>;
  /** Every other file, such as `optics.lock` and what readings name, by path. */
  readonly beside: ReadonlyMap<string, SourceBytes>;
}

/** A commit of the change, as a review lists it. */
export interface CommitHead {
  readonly hash: string;
  readonly author: string;
  /** ISO 8601. */
  readonly date: string;
  readonly subject: string;
}

const SCHEME = 'version:/';

export const uriOf = (path: string): string => SCHEME + path.split('/').map(encodeURIComponent).join('/');

export const pathOf = (uri: string): string => uri.slice(SCHEME.length).split('/').map(decodeURIComponent).join('/');
