import './packed.test.ts';

/** Entry point of the extension host for the smoke test of the packed extension. */
export { runTests as run } from './runner.ts';
