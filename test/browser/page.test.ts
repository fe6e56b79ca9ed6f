import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { JobInput } from '../../src/index.js';
import { bands, ring } from '../cli/pictures.js';
import { foldSmall, openStage, settled, violations, type Stage } from '../support/browser.js';

let stage: Stage;
beforeAll(async () => {
  stage = await openStage();
});
afterAll(() => stage.close());

/** In the dark the page is the same but for its colours. */
async function wrong(page: Page, within?: string): Promise<readonly string[]> {
  const light = await violations(page, 'all', within);
  await page.emulateMedia({ colorScheme: 'dark' });
  const dark = await violations(page, 'colours', within);
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
      expect(await violations(page, 'all', '.hero'), hand).toEqual([]);
    }
    await page.getByRole('button', { name: 'Look', exact: true }).click();
    await page.getByRole('button', { name: 'True size' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await wrong(page, 'dialog')).toEqual([]);
    await close();
  });
});

/** Small and coarse: what a hand does on the page is the same. */
const SMALL: JobInput = { fineness: 3, card: '60x60mm', tone: 'auto' };

async function jobOf(page: Page): Promise<JobInput> {
  const hash = await page.evaluate<string>('location.hash');
  return JSON.parse(new URLSearchParams(hash.slice(1)).get('job') ?? '{}') as JobInput;
}

const button = (page: Page, name: string | RegExp) =>
  page.getByRole('button', { name, exact: true });

/** Sums what moves by itself from now on, by the browser's own measure (Layout Instability, W3C). */
const countShifts = (page: Page) =>
  page.evaluate(`(() => {
    window.shifted = 0;
    new PerformanceObserver((list) => {
      for (const { value } of list.getEntries()) window.shifted += value;
    }).observe({ type: 'layout-shift' });
  })()`);

describe('a person who looks again', () => {
  let page: Page;
  let close: () => Promise<void>;
  let picture: string;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'stencilwright-look-'));
    picture = await ring(join(folder, 'ring.png'), 200);
    await bands(join(folder, 'bands.png'));
    const looks = { reducedMotion: 'reduce', viewport: { width: 1280, height: 860 } } as const;
    ({ page, close } = await stage.open(looks, stage.withJob(SMALL), /status of (404|409|422)/));
    await page.getByLabel('Choose a picture').setInputFiles(picture);
    await settled(page);
  });
  afterAll(async () => {
    await close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('finds all aims beside the picture, and a mask is as good as it is', async () => {
    await button(page, 'Mask').click();
    await settled(page);
    expect(await jobOf(page)).toEqual({ ...SMALL, as: 'mask' });
    expect(await page.locator('.lead').textContent()).toMatch(/^Good/);
    expect(await page.title()).toMatch(/^ring: Good.* – stencilwright$/);
    await button(page, 'Layers of paint').click();
    await page.getByText('Good: 3 layers').or(page.getByText('No stencil of these')).waitFor();
    await page.getByRole('alert').getByText('fewer tones').or(page.locator('.paints li').first()).waitFor(); // prettier-ignore
    for (const aim of ['Repeated texture', 'Folded sheet', 'Lines of glue'])
      expect(await button(page, aim).count()).toBe(1);
    await button(page, 'Stencil').first().click();
    await settled(page);
    expect(await jobOf(page)).toEqual(SMALL);
    expect(await page.locator('.facts').textContent()).toMatch(/about \d+ minutes? to cut/);
  });

  it('moves the level with nothing moving under the hand, and swaps in plain sight', async () => {
    const slider = page.locator('#level');
    await countShifts(page);
    const before = await slider.boundingBox();
    await slider.fill('1');
    await page.getByRole('alert').waitFor();
    expect(await slider.boundingBox()).toEqual(before);
    expect(await page.locator('.lead').textContent()).toBe('No stencil of these settings.');
    await slider.fill('40');
    await settled(page);
    expect(await slider.boundingBox()).toEqual(before);
    expect(await page.evaluate<number>('window.shifted')).toBeLessThan(0.1);
    await button(page, 'Swap dark and light').click();
    expect((await jobOf(page)).swap).toBe(true);
    for (let i = 0; i < 3; i++) await page.keyboard.press('Control+z');
    await settled(page);
    expect(await jobOf(page)).toEqual(SMALL);
  });

  it('looks at another stage with the hand that belongs to it, and hears why a gesture does nothing', async () => {
    await button(page, 'Bridges').click();
    const box = (await page.locator('.canvas').boundingBox())!;
    // Across the film in the card's corner.
    const [x, y] = [box.x + box.width / 2, box.y + 60];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 30, y);
    await page.mouse.up();
    expect(await page.locator('.says').textContent()).toMatch(/lies on film alone/);
    expect(await jobOf(page)).toEqual(SMALL);
    await page.locator('.canvas').press('n');
    expect(await page.locator('.says').textContent()).toMatch(/^Bridge 1 of \d+, at /);
    await foldSmall(page);
    await page.keyboard.press('3');
    expect(await button(page, 'Look').getAttribute('aria-pressed')).toBe('true');
    await button(page, 'Stencil').last().click();
    expect(await page.locator('.bridge-marks line').count()).toBeGreaterThan(0);
    await button(page, 'Compare').click();
    await page.getByRole('slider', { name: /Your picture to the left/ }).press('ArrowLeft');
    expect(await page.locator('.divider').getAttribute('aria-valuenow')).toBe('48');
    expect(await violations(page)).toEqual([]);
    await button(page, 'Compare').click();
  });

  it('crops by keys in one step, keeps the card’s shape, turns, and draws a finer part', async () => {
    await button(page, 'Crop').click();
    const area = page.locator('.crop .area');
    await area.focus();
    for (let i = 0; i < 5; i++) await page.keyboard.press('Shift+ArrowLeft');
    await settled(page);
    expect((await jobOf(page)).crop).toBe('0,0,95,100');
    await page.getByLabel('Keep the card’s shape').check();
    expect(await page.locator('.crop .size').textContent()).toBe('48 × 48 mm on the card');
    expect((await jobOf(page)).crop).toBe('0,2.5,95,95');
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    expect(await jobOf(page)).toEqual(SMALL);
    await button(page, '↻ Turn right').click();
    expect((await jobOf(page)).pictureTurn).toBe('right');
    await page.keyboard.press('Control+z');
    await button(page, 'Finer').click();
    const finer = page.locator('.crop .area');
    await finer.focus();
    for (const key of ['Enter', 'Shift+ArrowUp', 'Shift+ArrowLeft', 'Enter'])
      await page.keyboard.press(key);
    expect((await jobOf(page)).finer).toHaveLength(1);
    expect(await violations(page)).toEqual([]);
    await page.keyboard.press('Control+z');
    await button(page, 'Look').click();
    await settled(page);
  });

  it('sees what was taken for the subject, and takes a mark back by a click', async () => {
    await button(page, 'Subject').click();
    const area = (await page.locator('.crop .area').boundingBox())!;
    const at = ([x, y]: readonly [number, number]) =>
      [area.x + (area.width * x) / 100, area.y + (area.height * y) / 100] as const;
    await page.mouse.move(...at([10, 10]));
    await page.mouse.down();
    await page.mouse.move(...at([90, 90]));
    await page.mouse.up();
    await settled(page);
    expect(await page.locator('.taken image').count()).toBe(1);
    await button(page, 'Take back').click();
    await page.mouse.click(...at([50, 50]));
    await settled(page);
    expect(await jobOf(page)).toEqual(SMALL);
    await button(page, 'Look').click();
  });

  it('is told the range of a number, sees no number go where settings contradict, and keeps the focus', async () => {
    await page.getByRole('heading', { name: 'Cutting' }).click();
    const turn = page.locator('#set-tightestTurn');
    await turn.fill('99');
    await turn.press('Enter');
    expect(await page.getByText('From 0 to 10 mm.').count()).toBe(1);
    await turn.press('Escape');
    await page.locator('#set-narrowestStrip').fill('9');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').getByText('“Bridge width”').waitFor();
    expect(Number(await page.locator('#set-narrowestOpening').inputValue())).toBeGreaterThan(0);
    await page.keyboard.press('Control+z');
    await button(page, 'Undo').press('Enter');
    await settled(page);
    await page.getByRole('heading', { name: 'Bridges', exact: true }).click();
    await page.getByText(/bridges?, one by one/).click();
    const remove = page.getByRole('button', { name: /^Remove the bridge/ });
    for (let left = await remove.count(); left > 0; left--) {
      await remove.first().press('Enter');
      await expect.poll(() => remove.count()).toBe(left - 1);
    }
    await settled(page);
    expect(await page.evaluate<string>('document.activeElement.tagName')).not.toBe('BODY');
    await page.getByText(/would fall out/).first().waitFor(); // prettier-ignore
    await page.getByRole('button', { name: /^Show it/ }).click();
    expect(await page.locator('.goal').count()).toBe(1);
  });

  it('needs no second drop where the server has forgotten the picture, and Back comes back to it', async () => {
    const edited = await jobOf(page);
    expect(edited.bridgeEdits?.length).toBeGreaterThan(0);
    const id = new URLSearchParams((await page.evaluate<string>('location.hash')).slice(1)).get('picture'); // prettier-ignore
    await page.evaluate(`fetch('/api/pictures/${id}', { method: 'DELETE' })`);
    await button(page, /^a7/).click();
    await settled(page);
    expect(await jobOf(page)).toEqual({ ...edited, card: 'a7' });
    await page.keyboard.press('Control+z');
    await settled(page);
    await button(page, 'stencilwright').click();
    expect(await page.locator('.welcome').count()).toBe(1);
    await page.goBack();
    await settled(page);
    expect(await jobOf(page)).toEqual(edited);
  });

  it('begins anew with the next picture, goes through several, and takes all as one folder', async () => {
    const others = [picture, picture.replace('ring', 'bands')];
    await page.keyboard.press('Control+z');
    const files = others.map((path) => ({
      name: path.replace(/.*\//, ''),
      data: readFileSync(path).toString('base64'),
    }));
    await page.evaluate(`(() => {
      const transfer = new DataTransfer();
      for (const { name, data } of ${JSON.stringify(files)}) {
        const bytes = Uint8Array.from(atob(data), (character) => character.charCodeAt(0));
        transfer.items.add(new File([bytes], name, { type: 'image/png' }));
      }
      window.dispatchEvent(new DragEvent('drop', { dataTransfer: transfer, bubbles: true }));
    })()`);
    await page.getByRole('navigation', { name: 'Your pictures' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toEqual({ fineness: 3, card: '60x60mm' });
    await page.locator('#level').fill('60');
    await foldSmall(page);
    await settled(page);
    await button(page, 'bands.png').click();
    await page.getByRole('heading', { level: 1, name: 'bands' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 60 });
    expect(await violations(page)).toEqual([]);
    const coming = page.waitForEvent('download');
    await button(page, 'Download all 2').click();
    const taken = unzipSync(readFileSync(await (await coming).path()));
    expect(Object.keys(taken)).toEqual(
      expect.arrayContaining(['stencils/ring/stencil.svg', 'stencils/bands/template.pdf']),
    );
  });

  it('paints in layers, with colours of its own, to the downloaded sheets', async () => {
    await button(page, 'Layers of paint').click();
    await page.getByText('Good: 3 layers').waitFor();
    await page.getByLabel('Painted first').fill('#ffcc00');
    await page.locator('.canvas path[fill="#ffcc00"]').waitFor();
    await button(page, 'Sheet 2').click();
    expect(await page.locator('.canvas .sheet > path').count()).toBe(1);
    expect(await violations(page)).toEqual([]);
    const coming = page.waitForEvent('download');
    await button(page, 'Download all sheets').click();
    const files = Object.keys(unzipSync(readFileSync(await (await coming).path())));
    for (const layer of [1, 2, 3])
      expect(files).toContain(`bands-layers/layer-${layer}/template.pdf`);
  });
});
