/** Stands in for `thread.js` where the sources themselves run, as in tests: a thread starts from JavaScript only. */
import { register } from 'tsx/esm/api';

register();
export const { work } = await import('./thread.ts');
