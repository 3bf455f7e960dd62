// The README's first command, after set-up and build: the main job on the sample book, and how to open it in the editor.
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const job = ['match', 'SAM-door', '--weight', '80g', '--most', '3', '--book', 'samples'];

console.log(`\npourbook ${job.join(' ')}\n`);
const { status } = spawnSync(process.execPath, ['dist/pourbook.cjs', ...job], { cwd: root, stdio: 'inherit' });

console.log(`
The same in the editor: npm run package, then in VS Code 'Extensions: Install from VSIX…' and dist/pourbook.vsix;
open the folder 'samples', the file book/formulas-metallic.pour, and hover over SAM-31.`);
process.exitCode = status ?? 2;
