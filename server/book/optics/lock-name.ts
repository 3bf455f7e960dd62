/** The file beside the book that records what was learned of its toners. */
export const LOCK_NAME = 'optics.lock';
