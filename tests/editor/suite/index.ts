import './start.test.ts';
import './problems.test.ts';
import './reading.test.ts';
import './names.test.ts';
import './writing.test.ts';
import './batch.test.ts';
import './review.test.ts';
import './server.test.ts';

/** Entry point of the extension host. */
export { runTests as run } from './runner.ts';
