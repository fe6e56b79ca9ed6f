/** Finds or installs the browser that the page is tested in. Plain JavaScript, run before the tests. */
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { homedir, platform } from 'node:os';
import { join } from 'node:path';
import { home } from './install.mjs';

/**
 * Where Chromium and its kin are on Debian and macOS; STENCILWRIGHT_BROWSER names another. The shell is the same engine
 * without a window of its own: a page takes a fifth of the processor time to open, as no bar is drawn round it.
 */
const PLACES = [
  process.env.STENCILWRIGHT_BROWSER,
  '/usr/bin/chromium-headless-shell',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
];

/** Where playwright-core's own installer puts browsers. */
const CACHES = {
  linux: join(homedir(), '.cache/ms-playwright'),
  darwin: join(homedir(), 'Library/Caches/ms-playwright'),
};

const IN_CACHE = [
  'chrome-linux/headless_shell',
  'chrome-linux/chrome',
  'chrome-headless-shell-linux64/chrome-headless-shell',
  'chrome-linux64/chrome',
  'chrome-headless-shell-mac-arm64/chrome-headless-shell',
  'chrome-headless-shell-mac-x64/chrome-headless-shell',
  'chrome-mac/headless_shell',
  'chrome-mac/Chromium.app/Contents/MacOS/Chromium',
];

/** The path of a Chromium on this computer; undefined when there is none. */
export function findBrowser() {
  return [...PLACES, ...cached()].find((path) => path && existsSync(path));
}

function cached() {
  const cache = CACHES[platform()];
  if (!cache || !existsSync(cache)) return [];
  const builds = readdirSync(cache).filter((name) => name.startsWith('chromium'));
  return builds.flatMap((build) => IN_CACHE.map((inside) => join(cache, build, inside)));
}

/** Finds the browser, or installs one and says so; gives its path, or undefined when that failed. */
export function ensureBrowser() {
  const found = findBrowser();
  if (found) {
    console.log(`The page is tested in ${found}`);
    return found;
  }
  if (existsSync('/usr/bin/apt-get') && process.getuid?.() === 0) {
    console.log('No Chromium here: installing it with apt-get (once; this takes a minute) …');
    run('apt-get', ['update', '-qq']);
    const install = ['install', '-y', '-qq'];
    run('apt-get', [...install, 'chromium-headless-shell']);
    // Not every system has the shell alone.
    if (!findBrowser()) run('apt-get', [...install, 'chromium']);
  }
  if (!findBrowser()) {
    console.log("No Chromium here: installing one with playwright-core's installer …");
    run(process.execPath, [
      join(home, 'node_modules/playwright-core/cli.js'),
      'install',
      '--only-shell',
      'chromium',
    ]);
  }
  const installed = findBrowser();
  console.log(
    installed
      ? `The page is tested in ${installed}`
      : 'No Chromium could be installed: the tests of the page will fail. Name one with STENCILWRIGHT_BROWSER=/path/to/chromium',
  );
  return installed;
}

function run(command, words) {
  const { status, error } = spawnSync(command, words, {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  if (status !== 0) console.log(`${command} failed${error ? `: ${error.message}` : ''}`);
}
