/** Which folders inside the folder of a book belong to it. */

const SKIPPED = new Set(['node_modules', 'dist']);

/** Folders of tools and of version control hold no entries of the shop, even where they hold `.pour` files. */
export const isPassedOver = (folderName: string): boolean => folderName.startsWith('.') || SKIPPED.has(folderName);

/** Whether a file lies in the book of a folder; both uris as they are keys, the folder's with a stroke at its end. */
export const liesInBook = (uri: string, folder: string): boolean =>
  !uri.slice(folder.length).split('/').slice(0, -1).some(isPassedOver);
