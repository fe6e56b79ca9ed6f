/**
 * `npm run lint`: the types of what runs in Node.js and of what a browser loads, then the code, by rules that ask for
 * types (.oxlintrc.json), then who imports whom (eslint.config.js). Plain JavaScript.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { home } from './install.mjs';

const modules = join(home, 'node_modules');
const compiler = [process.execPath, join(modules, 'typescript-native/bin/tsc'), '--noEmit'];

const checks = [
  [...compiler, '-p', 'tsconfig.json'],
  [...compiler, '-p', 'server/page/tsconfig.json'],
  [join(modules, '.bin/oxlint'), '--type-aware', '--report-unused-disable-directives', '.'],
  // The floors are those of the programs and the library; a test may import all of them.
  [join(modules, '.bin/eslint'), 'cli', 'server', 'src'],
];

for (const [command, ...words] of checks) {
  const { status, error } = spawnSync(command, words, { cwd: home, stdio: 'inherit' });
  if (error) throw error;
  if (status !== 0) process.exitCode = 1;
}
