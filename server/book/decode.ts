/**
 * Bytes of a `.pour` file as text. A byte that is no UTF-8 becomes U+FFFD, which the check `encoding` reports with its place: nothing is
 * guessed, and the rest of the file is read. A byte order mark is kept, so that the file can be written back as it was.
 */
export function decodeBook(bytes: Uint8Array): string {
  return new TextDecoder('utf-8', { fatal: false, ignoreBOM: true }).decode(bytes);
}

/** The largest file that is read. Editors hand larger ones to no language server, and nobody finds an entry in them. */
export const LARGEST = 50_000_000; // bytes
