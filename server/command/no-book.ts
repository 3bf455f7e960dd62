/** A folder that cannot be read as a book; the message says why. */
export class NoBook extends Error {}
