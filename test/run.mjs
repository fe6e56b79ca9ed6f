/** `npm test`: everything that a change must pass. Plain JavaScript without dependencies. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureBrowser } from './browser.mjs';
import { home, install } from './install.mjs';

install();
ensureBrowser();

const scratch = mkdtempSync(join(tmpdir(), 'stencilwright-test-'));
const results = join(scratch, 'results.json');
const bin = (name) => join(home, 'node_modules', '.bin', name);

// Its types are checked below; test/package.test.ts packs what it built.
const build = ['build', 'npm', ['run', '--silent', 'build:unchecked']];

const checks = [
  ['formatting', bin('oxfmt'), ['--check', '.']],
  ['types and lint', process.execPath, [join(home, 'test/lint.mjs')]],
  ['unused code', bin('knip'), ['--no-progress']],
];

let passed = 0;
let failed = 0;

// None of these writes what another one reads, save for the build, which the tests use. So all run side by side, and
// no core is idle while the lint, the longest of the checks, has one to itself.
await Promise.all([...checks.map(runCheck), runCheck(build).then(runTests)]);

rmSync(scratch, { recursive: true, force: true });
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

async function runCheck([name, command, args]) {
  const { ok, output, seconds } = await run(command, args);
  report(ok, name, seconds);
  if (ok) passed += 1;
  else failed += 1;
  if (!ok) console.log(output);
}

async function runTests() {
  const tests = await run(bin('vitest'), [
    'run',
    '--reporter=dot',
    '--reporter=json',
    `--outputFile.json=${results}`,
    ...process.argv.slice(2),
  ]);
  const counts = readCounts(results);
  report(tests.ok && counts.total > 0, `tests (${counts.total})`, tests.seconds);
  if (!tests.ok) console.log(tests.output);
  for (const name of counts.skipped) console.log(`     skipped: ${name}`);
  passed += counts.passed;
  failed += counts.failed;
  // Vitest can fail without a failed test: a file that does not load, an error outside any test.
  if ((!tests.ok || counts.total === 0) && counts.failed === 0) failed += 1;
}

function run(command, args) {
  const start = Date.now();
  return new Promise((resolve) => {
    let output = '';
    const child = spawn(command, args, {
      cwd: home,
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, NO_COLOR: '1', FORCE_COLOR: undefined },
    });
    for (const stream of [child.stdout, child.stderr]) {
      stream.setEncoding('utf8').on('data', (text) => (output += text));
    }
    const end = (ok) => resolve({ ok, output, seconds: (Date.now() - start) / 1000 });
    child.on('error', (error) => {
      output += `${error.message}\n`;
      end(false);
    });
    child.on('close', (status) => end(status === 0));
  });
}

function report(ok, name, seconds) {
  console.log(`${ok ? 'ok  ' : 'FAIL'} ${name.padEnd(20)} ${seconds.toFixed(1)} s`);
}

function readCounts(file) {
  try {
    const report = JSON.parse(readFileSync(file, 'utf8'));
    const skipped = report.testResults.flatMap(({ assertionResults }) =>
      assertionResults
        .filter(({ status }) => status === 'skipped' || status === 'pending' || status === 'todo')
        .map(({ fullName }) => fullName),
    );
    return {
      total: report.numTotalTests,
      passed: report.numPassedTests,
      failed: report.numFailedTests,
      skipped,
    };
  } catch (error) {
    console.log(`The results of the tests can't be read: ${error.message}`);
    return { total: 0, passed: 0, failed: 0, skipped: [] };
  }
}
