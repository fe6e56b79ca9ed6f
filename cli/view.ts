import { spawn } from 'node:child_process';
import type { AddressInfo } from 'node:net';
import { Problem, type JobInput } from '../src/index.js';
import { refuseArguments, textOf, type Command, type CommandArguments } from './command.js';
import { readSettings } from './job-given.js';
import { localeOf } from './make.js';
import { commandLine } from './options.js';
import type { OutputStreams, Stream } from './terminal.js';

/** Of no known service (IANA has none for it, from memory); the next free one is taken where it is in use. */
const DEFAULT_PORT = 4244;
const DEFAULT_HOST = '127.0.0.1';

/** `stencilwright view`: the page in a browser on this computer. */
export const view: Command = {
  command: 'view',
  takes: '',
  describe: 'see and edit a stencil in the browser',
  builder: {
    hand: {
      type: 'string',
      value: 'NAME',
      group: 'Options',
      describe: 'Begins with the limits of your own hand, as saved with stencilwright hand.',
    },
    port: {
      type: 'string',
      value: 'N',
      group: 'Options',
      describe: `The port to listen on. Unless set: ${DEFAULT_PORT}, or any free one.`,
    },
    open: {
      type: 'boolean',
      denied: true,
      group: 'Options',
      describe: 'Only prints the address.',
    },
    host: {
      type: 'string',
      value: 'ADDRESS',
      group: 'Options',
      describe: `The address to listen on. Unless set: ${DEFAULT_HOST}, this computer only. Whoever reaches another address can use the page: there is no password.`,
    },
  },
  help: {
    says: [
      'Opens a page in your browser on which you drop a picture, choose by looking what becomes dark, edit the bridges and take the stencil away. Pictures stay on this computer, in memory only. Ctrl-C ends it.',
    ],
  },
  handler: serve,
};

async function serve(given: CommandArguments, { stdout, stderr }: OutputStreams): Promise<number> {
  refuseArguments(given);
  const port = readPort(textOf(given, 'port'));
  const host = textOf(given, 'host') ?? DEFAULT_HOST;
  const first = await readSettings(given);
  const { createApp } = await import('../server/app.js');
  const app = createApp({
    hosts: [host],
    ...localeOf(process.env),
    onFault: (error) =>
      stderr.write(`${error instanceof Error ? (error.stack ?? '') : String(error)}\n`),
  });
  const listenOn = (wanted: number) => app.listen({ host, port: wanted });
  try {
    await listenOn(port ?? DEFAULT_PORT).catch((error: unknown) => {
      if (port !== undefined || codeOf(error) !== 'EADDRINUSE') throw error;
      return listenOn(0);
    });
  } catch (error) {
    await app.close();
    throw listenProblem(error, host, port);
  }
  const address = addressOf(app.server.address() as AddressInfo, first);
  stdout.write(`The page is at ${address}\nCtrl-C ends it.\n`);
  if (given.open !== false) openBrowser(address, stdout);
  await app.warmUp();
  return 0;
}

function readPort(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const port = Number(text);
  if (/^\d+$/.test(text) && port <= 65_535) return port;
  throw new Problem(
    `--port can't be "${text}"`,
    commandLine.where,
    'Give a whole number from 1 to 65535, or 0 for any free port',
  );
}

function listenProblem(error: unknown, host: string, port: number | undefined): unknown {
  const remedies: Readonly<Record<string, string>> = {
    EADDRINUSE: 'Choose another --port',
    EACCES: 'Choose a --port of 1024 or more',
    EADDRNOTAVAIL: 'Choose a --host that is an address of this computer',
    ENOTFOUND: 'Choose a --host that is an address of this computer',
  };
  const remedy = remedies[codeOf(error) ?? ''];
  if (remedy === undefined) return error;
  return new Problem(
    `The page can't be served at ${host}, port ${port ?? DEFAULT_PORT}`,
    commandLine.where,
    remedy,
    { cause: error },
  );
}

function codeOf(error: unknown): string | undefined {
  return error instanceof Error ? (error as NodeJS.ErrnoException).code : undefined;
}

/** Where the page is. The settings that it begins with stand after the #, where the page looks for them itself. */
function addressOf({ address, family, port }: AddressInfo, first: JobInput): string {
  const job = JSON.stringify(first);
  const hash = job === '{}' ? '' : `#${new URLSearchParams({ job }).toString()}`;
  return `http://${family === 'IPv6' ? `[${address}]` : address}:${port}/${hash}`;
}

/** Opens the address in the person's own browser; where that can't be done, the printed address is what there is. */
function openBrowser(address: string, stdout: Stream): void {
  const opener = process.platform === 'darwin' ? 'open' : 'xdg-open';
  const child = spawn(opener, [address], { stdio: 'ignore', detached: true });
  child.on('error', () => {
    stdout.write('Open that address in your browser.\n');
  });
  child.unref();
}
