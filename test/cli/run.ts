import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { pathToFileURL } from 'node:url';
import { afterAll, onTestFinished } from 'vitest';
import { runCommandLine } from '../../cli/run.js';
import { home, isBuilt } from '../support/built.js';

export { home };

/** The words that start the command line: as built when that is newer than every source, else from the sources. */
export const command: readonly string[] = isBuilt
  ? [join(home, 'dist/cli/main.js')]
  : [
      '--import',
      pathToFileURL(join(home, 'node_modules/tsx/dist/esm/index.mjs')).href,
      join(home, 'cli/main.ts'),
    ];

export interface Ended {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface Circumstances {
  readonly cwd?: string;
  readonly env?: Readonly<Record<string, string>>;
  /** Options of node itself, before ours. */
  readonly node?: readonly string[];
}

/** Runs the command line as a process of its own. */
export function stencilwright(words: readonly string[], about: Circumstances = {}): Ended {
  const { cwd, env, node = [] } = about;
  const { status, stdout, stderr, error } = spawnSync(
    process.execPath,
    [...node, ...command, ...words],
    {
      encoding: 'utf8',
      env: { ...process.env, STENCILWRIGHT_DEBUG: '', ...env },
      ...(cwd !== undefined && { cwd }),
    },
  );
  if (error) throw error;
  return { status, stdout, stderr };
}

/**
 * Runs the command line in this process: for what a process of its own would add nothing to. Where a folder or an
 * environment is given, they are this process's own while it runs: tests of one process come one after another.
 */
export async function said(
  words: readonly string[],
  { cwd, env }: Pick<Circumstances, 'cwd' | 'env'> = {},
): Promise<Ended> {
  const [stdout, stderr] = [new PassThrough(), new PassThrough()];
  const back = surround(cwd, env);
  const status = await runCommandLine(words, { stdout, stderr }).finally(back);
  const [told, complaint] = [stdout, stderr].map((stream) => String(stream.read() ?? ''));
  return { status, stdout: told, stderr: complaint };
}

const usualFolder = process.cwd();

/** Takes this process to a folder and an environment, and returns what takes it back. */
function surround(cwd = usualFolder, env: Readonly<Record<string, string>> = {}): () => void {
  if (process.cwd() !== usualFolder) throw new Error('Another command line has not ended yet');
  const ours: Readonly<Record<string, string>> = { STENCILWRIGHT_DEBUG: '', ...env };
  const before = Object.keys(ours).map((name) => [name, process.env[name]] as const);
  Object.assign(process.env, ours);
  process.chdir(cwd);
  return () => {
    process.chdir(usualFolder);
    for (const [name, value] of before) {
      if (value === undefined) delete process.env[name];
      else process.env[name] = value;
    }
  };
}

/** A folder for one test, removed when it ends. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'stencilwright-cli-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

/** A folder for all tests of a file, removed when they have ended. */
export function scratchForAll(): string {
  const folder = mkdtempSync(join(tmpdir(), 'stencilwright-cli-'));
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

/** Every file and folder below a folder, hidden ones too, with what the files hold. */
export function contents(folder: string): ReadonlyMap<string, string> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true });
  return new Map(
    entries
      .map((entry) => join(entry.parentPath, entry.name))
      .sort()
      .map((path) => [
        path,
        statSync(path).isDirectory() ? 'folder' : readFileSync(path, 'latin1'),
      ]),
  );
}
