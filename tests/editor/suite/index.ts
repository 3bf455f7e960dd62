import './book.test.ts';

/** Entry point of the extension host. */
export { runTests as run } from './runner.ts';
