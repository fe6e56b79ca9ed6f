/** Plain JavaScript without dependencies: this runs before anything is installed. */
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's own folder. */
export const home = dirname(dirname(fileURLToPath(import.meta.url)));

const OLDEST_NODE = [20, 19];

/** Ends the process in words when this Node.js is too old. */
function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  const [oldestMajor, oldestMinor] = OLDEST_NODE;
  if (major > oldestMajor || (major === oldestMajor && minor >= oldestMinor)) return;
  console.error(
    `This is Node.js ${process.versions.node}; stencilwright needs ${OLDEST_NODE.join('.')} or newer (https://nodejs.org).`,
  );
  process.exit(2);
}

/** Whether `node_modules` is absent, or older than the list that it was made from. */
function installIsMissing() {
  const installed = `${home}/node_modules/.package-lock.json`;
  if (!existsSync(installed)) return true;
  return statSync(`${home}/package-lock.json`).mtimeMs > statSync(installed).mtimeMs;
}

/** Installs what is missing; ends the process when that fails. */
export function install() {
  checkNode();
  if (!installIsMissing()) return;
  console.log('Installing what the project needs (once; this takes a minute) …');
  const { status } = spawnSync('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: home,
    stdio: 'inherit',
  });
  if (status === 0) return;
  console.error('The install failed; what npm says above is the reason.');
  process.exit(2);
}
