import { Problem } from '../src/index.js';
import { inOptions } from './options.js';
import { painter, type Stream } from './terminal.js';

/** The exit status when nothing was written. */
const NOTHING_WRITTEN = 2;

/**
 * Tells a person what went wrong: a Problem in its own words, anything else as a fault of ours.
 *
 * @param about what was being worked on
 * @returns the exit status
 */
export function tell(error: unknown, about: string, stderr: Stream): number {
  const paint = painter(stderr);
  const words = inOptions(error instanceof Problem ? error.message : faultText(error, about));
  stderr.write(`${paint('red', '✗')} ${words}\n`);
  if (wantsDetails() && error instanceof Error) {
    stderr.write(`${error.stack ?? ''}\n`);
    if (error.cause instanceof Error) stderr.write(`Cause: ${error.cause.stack ?? ''}\n`);
  }
  return NOTHING_WRITTEN;
}

function faultText(error: unknown, about: string): string {
  const message = error instanceof Error ? error.message.split('\n')[0] : String(error);
  return `This is a fault of stencilwright, not of yours: ${message} (${about}). Run it again with STENCILWRIGHT_DEBUG=1 to get the details for a report.`;
}

function wantsDetails(): boolean {
  return Boolean(process.env.STENCILWRIGHT_DEBUG);
}
