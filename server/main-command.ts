/** The command line's entry point. */
import { join } from 'node:path';
import { run } from './command/program.ts';

// A reader that has seen enough, such as `pourbook check | head`, is no failure.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit();
  });

run(process.argv.slice(2), {
  out: (text) => process.stdout.write(`${text}\n`),
  err: (text) => process.stderr.write(`${text}\n`),
  folder: process.cwd(),
  // Bundled beside this program, which starts sooner without it.
  serve: async () => {
    require(join(__dirname, 'server.cjs'));
  },
  exitCode: 0,
}).then(async (exitCode) => {
  process.exitCode = exitCode;
  if (process.argv[2] === 'serve') return;
  // Else the engine takes down piece by piece all that it holds, which takes some tens of milliseconds after a large review.
  await Promise.all([written(process.stdout), written(process.stderr)]);
  process.exit();
});

const written = (stream: NodeJS.WriteStream): Promise<void> =>
  new Promise((done) => {
    stream.write('', () => done());
  });
