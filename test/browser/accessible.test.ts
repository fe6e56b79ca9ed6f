import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openStage, settled, violations, type Stage } from '../support/browser.js';

let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterAll(() => stage.close());

/** In the dark the page is the same but for its colours. */
async function wrong(page: Page): Promise<readonly string[]> {
  const light = await violations(page);
  await page.emulateMedia({ colorScheme: 'dark' });
  const dark = await violations(page, 'colours');
  await page.emulateMedia({ colorScheme: 'light' });
  return [...light, ...dark.map((each) => `in the dark: ${each}`)];
}

describe('an accessibility engine finds nothing wrong, in light and in the dark', () => {
  it.each([
    ['on a desk', { width: 1280, height: 860 }, ['Bridges', 'Regions', 'Crop']],
    // The hands are the same there, in another place.
    ['on a phone', { width: 390, height: 844 }, ['Bridges']],
  ])('%s', async (_, viewport, hands) => {
    // Without motion, so that no colour is looked at on its way to another.
    const looks = { colorScheme: 'light', reducedMotion: 'reduce', viewport } as const;
    const { page, close } = await stage.open(looks, stage.coarse);
    await page.getByRole('button', { name: 'A moth' }).waitFor();
    expect(await wrong(page)).toEqual([]);
    await page.getByRole('button', { name: 'A moth' }).click();
    await settled(page);
    await page.evaluate(
      "document.querySelectorAll('details').forEach((each) => (each.open = true))",
    );
    expect(await wrong(page)).toEqual([]);
    for (const hand of hands) {
      await page.getByRole('button', { name: hand, exact: true }).click();
      expect(await wrong(page), hand).toEqual([]);
    }
    await page.getByRole('button', { name: 'Look', exact: true }).click();
    await page.getByRole('button', { name: 'True size' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await wrong(page)).toEqual([]);
    await close();
  });
});
