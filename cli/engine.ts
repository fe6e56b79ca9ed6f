import { setFlagsFromString } from 'node:v8';

/**
 * How often a function of Node.js 20 must run, in bytes of its code, before it is compiled well. A stencil is made in
 * little more than a second, most of it in code that runs a few times: at the engine's own figure, a quarter of it, the
 * compiling takes a seventh of the processor's time. Later engines do better by themselves, and do not know the word.
 * The page's threads live long: they are quick sooner by the engine's own figure.
 */
const WORTH_COMPILING = 260_000;

if (process.versions.node.startsWith('20.') && process.argv[2] !== 'view') {
  setFlagsFromString(`--interrupt-budget=${WORTH_COMPILING}`);
}
