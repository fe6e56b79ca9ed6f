import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStage, settled, violations, type Stage } from '../support/browser.js';

let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterAll(() => stage.close());

/* In the dark the page is the same but for its colours. */
describe.each([
  ['light', 'all'],
  ['dark', 'colours'],
] as const)('an accessibility engine finds nothing wrong in %s', (colorScheme, kind) => {
  it.each([
    ['on a desk', { width: 1280, height: 860 }, ['Bridges', 'Regions', 'Crop']],
    // The hands are the same there, in another place.
    ['on a phone', { width: 390, height: 844 }, ['Bridges']],
  ])('%s', async (_, viewport, hands) => {
    const { page, close } = await stage.open({ colorScheme, viewport });
    await page.getByRole('button', { name: 'A moth' }).waitFor();
    expect(await violations(page, kind)).toEqual([]);
    await page.getByRole('button', { name: 'A moth' }).click();
    await settled(page);
    await page.evaluate(
      "document.querySelectorAll('details').forEach((each) => (each.open = true))",
    );
    expect(await violations(page, kind)).toEqual([]);
    for (const hand of hands) {
      await page.getByRole('button', { name: hand, exact: true }).click();
      expect(await violations(page, kind), hand).toEqual([]);
    }
    await page.getByRole('button', { name: 'Look', exact: true }).click();
    await page.getByRole('button', { name: 'True size' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await violations(page, kind)).toEqual([]);
    await close();
  });
});
