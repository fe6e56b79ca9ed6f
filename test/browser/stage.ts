import { afterAll, beforeAll } from 'vitest';
import { openStage, type Stage } from '../support/browser.js';

/** One server and one browser for all that is tried in it: each has to warm up. */
export let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterAll(() => stage.close());
