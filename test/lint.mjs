/**
 * `npm run lint`: the types of what runs in Node.js and of what a browser loads, then the code, by rules that ask for
 * types and by ours on who imports whom (.oxlintrc.json, floors.mjs). Plain JavaScript.
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
];

for (const [command, ...words] of checks) {
  const { status, error } = spawnSync(command, words, { cwd: home, stdio: 'inherit' });
  if (error) throw error;
  if (status !== 0) process.exitCode = 1;
}
