/** The tracer, which the build puts into this file: see build.mjs. Only its copy here is ever loaded. */
export { default as Potrace, type PotracePath } from 'potrace/lib/Potrace.js';
