import { Problem } from '../src/index.js';
import { tell } from './trouble.js';

/** The exit status where something that was to be printed is lost. */
const SOME_LOST = 1;

/**
 * Goes on with the work when what is printed can't be taken any more: the stencils count, not the lines about them.
 * Says so once, where that can still be read. That a reader closed its pipe, as `| head -1` does, is no failure.
 */
export function outliveOutput(): void {
  let told = false;
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (told) return;
    told = true;
    const closed = error.code === 'EPIPE';
    tell(closed ? nobodyReads(error) : cannotPrint(error), 'the summary', process.stderr);
    if (closed) return;
    process.on('exit', (status) => {
      process.exitCode = Math.max(status, SOME_LOST);
    });
  });
  // Where errors are told there is nobody left to tell that to.
  process.stderr.on('error', () => undefined);
}

function nobodyReads(cause: Error): Problem {
  return new Problem(
    'What this was printed for has stopped reading',
    'standard output',
    'The work goes on, and nothing more is printed',
    { cause },
  );
}

function cannotPrint(cause: NodeJS.ErrnoException): Problem {
  const full = cause.code === 'ENOSPC';
  return new Problem(
    full ? 'The disk is full that this is printed to' : 'What is said here can’t be printed',
    'standard output',
    full
      ? 'Make room there; the stencils are made all the same'
      : 'The stencils are made all the same',
    { cause },
  );
}
