import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { expect, it } from 'vitest';
import type { JobInput } from '../../src/index.js';
import { home } from '../cli/run.js';
import { COARSE, foldSmall, jobOf, settled, violations, type Stage } from '../support/browser.js';
import { stage } from './stage.js';

const HEN = join(home, 'samples/hen.jpg');
const MOTH = join(home, 'samples/moth.png');

/** Opens the page on a coarse stencil of a picture. */
async function openOn(picture: string, job = COARSE): ReturnType<Stage['open']> {
  const window = await stage.open({}, stage.withJob(job));
  await window.page.getByLabel('Choose a picture').setInputFiles(picture);
  await settled(window.page);
  await foldSmall(window.page);
  return window;
}

/** Waits until the page's address holds settings that a test asks for. */
async function jobWith(page: Page, wanted: (job: JobInput) => boolean): Promise<JobInput> {
  await expect.poll(async () => wanted(await jobOf(page)), { timeout: 10_000 }).toBe(true);
  await settled(page);
  return jobOf(page);
}

/** How much of the sheet is cut, by places of a grid. */
async function cutShare(page: Page): Promise<number> {
  return page.evaluate<number>(`(() => {
    const svg = document.querySelector('.canvas');
    const ink = document.querySelector('.canvas .ink');
    const { width, height } = svg.querySelector('.sheet rect').getBBox();
    const context = document.createElement('canvas').getContext('2d');
    const path = new Path2D(ink.getAttribute('d'));
    let inside = 0;
    for (let y = 0; y < 100; y++)
      for (let x = 0; x < 100; x++)
        inside += context.isPointInPath(path, (x + 0.5) / 100 * width, (y + 0.5) / 100 * height, 'evenodd');
    return inside / 10000;
  })()`);
}

it('draws a box round the subject and sees the background go, strokes, undoes and redoes', async () => {
  const { page, close } = await openOn(HEN, { fineness: 2, card: '80x80mm' });
  await page.keyboard.press('5');
  const before = await cutShare(page);

  await page.getByRole('button', { name: 'Subject', exact: true }).click();
  await dragBox(page, [15, 8], [85, 95]);
  const boxed = await jobWith(page, ({ marks }) => marks?.length === 1);
  expect(boxed.marks).toEqual([{ do: 'box', from: about(15, 8), to: about(85, 95) }]);
  await page.getByRole('button', { name: 'Done' }).click();
  // The boards that the hen stands on go, as does what is behind her.
  await expect.poll(() => cutShare(page), { timeout: 10_000 }).toBeLessThan(before * 0.8);

  // By keyboard: a stroke over what is the subject.
  await page.getByRole('button', { name: 'Subject', exact: true }).click();
  await page.getByRole('button', { name: 'This', exact: true }).click();
  await page.locator('.subject .area').focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Enter');
  const stroked = await jobWith(page, ({ marks }) => marks?.length === 2);
  expect(stroked.marks?.[1]).toEqual({
    do: 'this',
    along: [
      [50, 50],
      [50, 55],
      [50, 60],
    ],
  });
  await page.getByLabel('Background').first().selectOption('as-is');
  await jobWith(page, ({ background }) => background === 'as-is');
  expect(await violations(page)).toEqual([]);

  for (let i = 0; i < 3; i++) await page.keyboard.press('Control+z');
  await jobWith(page, ({ marks }) => marks === undefined);
  for (let i = 0; i < 3; i++) await page.keyboard.press('Control+Shift+z');
  expect(await jobWith(page, ({ marks }) => marks?.length === 2)).toEqual({
    ...stroked,
    background: 'as-is',
  });
  await close();
});

it('is warned where most of what was marked went with the background, and not where a box lies close', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'stencilwright-marked-'));
  const disk = '<rect width="300" height="300" fill="#e8e2d0"/><circle cx="150" cy="150" r="36" fill="#802010"/>'; // prettier-ignore
  const picture = join(folder, 'disk.png');
  await sharp(Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300">${disk}</svg>`)).toFile(picture); // prettier-ignore
  const { page, close } = await openOn(picture, { ...COARSE, tone: 'auto' });
  const isLost = page.getByText('Most of what was marked as the subject went with the background.');
  await page.getByRole('button', { name: 'Subject', exact: true }).click();
  // The disk, of 24 % across, is two thirds of a box of 26 % round it, and a twentieth of one of 92 %.
  await dragBox(page, [37, 37], [63, 63]);
  await jobWith(page, ({ marks }) => marks?.length === 1);
  expect(await isLost.count()).toBe(0);
  await page.keyboard.press('Control+z');
  await jobWith(page, ({ marks }) => marks === undefined);
  await dragBox(page, [4, 4], [96, 96]);
  await jobWith(page, ({ marks }) => marks?.length === 1);
  await isLost.waitFor();
  expect(await violations(page, 'all', '.side')).toEqual([]);
  await page.getByRole('button', { name: 'Clear', exact: true }).click();
  await jobWith(page, ({ marks }) => marks === undefined);
  expect(await isLost.count()).toBe(0);
  await close();
  rmSync(folder, { recursive: true, force: true });
});

/** A mark is drawn to the nearest pixel of the screen. */
const about = (...percents: readonly number[]): unknown[] =>
  percents.map((percent) => expect.closeTo(percent, 0) as unknown);

/** Draws on the photo, between places in percent of it. */
async function dragBox(
  page: Page,
  from: readonly [number, number],
  to: readonly [number, number],
): Promise<void> {
  const area = (await page.locator('.subject .area').boundingBox())!;
  const at = ([x, y]: readonly [number, number]) =>
    [area.x + (area.width * x) / 100, area.y + (area.height * y) / 100] as const;
  await page.mouse.move(...at(from));
  await page.mouse.down();
  await page.mouse.move(...at([(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]));
  await page.mouse.move(...at(to));
  await page.mouse.up();
}

it('is told at once when no stencil can be made of a box, and nothing old passes for one', async () => {
  const { page, close } = await openOn(MOTH);
  const lead = page.locator('.lead');
  const download = page.getByRole('button', { name: 'Download the stencil' });
  const good = await lead.textContent();
  await page.getByRole('button', { name: 'Subject', exact: true }).click();
  await dragBox(page, [5, 5], [50, 95]);
  await page.getByRole('alert').getByText('No subject was found in what is marked').waitFor();
  expect(await lead.textContent()).toBe('No stencil of these settings.');
  expect(await page.locator('.facts').textContent()).not.toMatch(/piece/);
  expect(await download.isDisabled()).toBe(true);
  await page.getByRole('button', { name: 'Done' }).click();
  expect(await page.locator('.badge').textContent()).toMatch(/^From before/);
  expect(await violations(page)).toEqual([]);

  await page.getByRole('button', { name: /Undo/ }).click();
  await settled(page);
  expect(await lead.textContent()).toBe(good);
  expect(await page.getByRole('alert').count()).toBe(0);
  expect(await download.isEnabled()).toBe(true);
  await close();
});

it('draws an area that stays free of bridges, and takes it away', async () => {
  const { page, close } = await openOn(MOTH);
  await page.getByRole('button', { name: 'No bridges', exact: true }).click();
  const canvas = (await page.locator('.canvas').boundingBox())!;
  const [x, y] = [canvas.x + canvas.width / 2, canvas.y + canvas.height / 2];
  await page.mouse.move(x - 60, y - 60);
  await page.mouse.down();
  for (const [dx, dy] of [
    [60, -60],
    [60, 60],
    [-60, 60],
  ])
    await page.mouse.move(x + dx, y + dy);
  await page.mouse.up();
  const drawn = await jobWith(page, ({ bridgeFree }) => bridgeFree?.length === 1);
  expect(drawn.bridgeFree?.[0]).toHaveLength(4);
  const says = page.locator('.says');
  expect(await says.textContent()).toBe('Drawn. 1 area is free of bridges.');
  expect(await violations(page)).toEqual([]);
  await page.mouse.click(x, y);
  await jobWith(page, ({ bridgeFree }) => bridgeFree === undefined);
  expect(await says.textContent()).toBe('Taken away. No area is free of bridges.');
  await page.locator('.canvas').press('ArrowLeft');
  expect(await says.textContent()).toMatch(/^No area at [\d.]+, [\d.]+ mm\.$/);
  await close();
});

it('takes a pasted picture, and opens a job file again', async () => {
  const { page, close } = await stage.open({}, stage.coarse);
  await page.getByRole('button', { name: 'A moth' }).waitFor();
  // What is to be made is chosen at the start.
  await page.getByRole('button', { name: 'Mask', exact: true }).click();
  const data = readFileSync(MOTH).toString('base64');
  await page.evaluate(`(() => {
    const bytes = Uint8Array.from(atob('${data}'), (character) => character.charCodeAt(0));
    const clipboardData = new DataTransfer();
    clipboardData.items.add(new File([bytes], 'image.png', { type: 'image/png' }));
    window.dispatchEvent(new ClipboardEvent('paste', { clipboardData }));
  })()`);
  await settled(page);
  expect((await jobOf(page)).as).toBe('mask');
  const job = {
    ...COARSE,
    card: 'a6',
    as: 'stencil',
    tone: 'level',
    level: 40,
    bridgeFree: [
      [
        [5, 5],
        [9, 5],
        [9, 9],
      ],
    ],
  };
  await page
    .locator('input[type=file][accept*=json]')
    .last()
    .setInputFiles({
      name: 'moth-job.json',
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify(job)),
    });
  expect(await jobWith(page, ({ card }) => card === 'a6')).toMatchObject(job);
  await close();
});

it('comes closer with two fingers, and shows the true size once the screen is calibrated', async () => {
  const phone = { viewport: { width: 390, height: 844 }, hasTouch: true };
  const { page, close } = await stage.open(phone, stage.coarse);
  await page.getByRole('button', { name: 'A moth' }).click();
  await settled(page);
  const widthShown = () =>
    page.evaluate<number>("document.querySelector('.canvas').viewBox.baseVal.width");
  const before = await widthShown();
  const canvas = (await page.locator('.canvas').boundingBox())!;
  const [x, y] = [canvas.x + canvas.width / 2, canvas.y + canvas.height / 2];
  const devtools = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', apart: number) =>
    devtools.send('Input.dispatchTouchEvent', {
      type,
      touchPoints:
        type === 'touchEnd'
          ? []
          : [
              { x: x - apart / 2, y, id: 0 },
              { x: x + apart / 2, y, id: 1 },
            ],
    });
  await touch('touchStart', 60);
  for (const apart of [80, 100, 120]) await touch('touchMove', apart);
  await touch('touchEnd', 0);
  expect(before / (await widthShown())).toBeCloseTo(2, 0);

  await page.getByRole('button', { name: 'True size' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.waitFor();
  await dialog.getByRole('slider').fill('4.67');
  const shape = (await dialog.locator('svg').boundingBox())!.width;
  await dialog.getByRole('button', { name: 'It matches' }).click();
  await dialog.waitFor({ state: 'hidden' });
  // ISO/IEC 7810, ID-1: a card is 85.60 mm wide; matched, its shape is as many px wide as 85.60 mm of the sheet.
  const view = (await page.locator('.canvas').boundingBox())!;
  expect(view.width / (await widthShown())).toBeCloseTo(shape / 85.6, 1);
  await close();
});

it('a fold shows its packet beside the opened sheet; the picture is moved in it, the cuts are stepped through', async () => {
  const { page, close } = await openOn(join(home, 'samples/leaf.svg'));
  await page.locator('summary', { hasText: 'Fold' }).click();
  await page.selectOption('#set-fold', 'quarter');
  const packet = page.locator('.packet.movable');
  await packet.waitFor();
  await settled(page);
  await packet.focus();
  await page.keyboard.press('ArrowLeft');
  const { foldPlace } = await jobWith(page, (job) => typeof job.foldPlace === 'string');
  expect(foldPlace).toMatch(/^-?\d+,-?\d+,\d+,-?\d+$/);
  const slider = page.locator('.fold-views input[type=range]').first();
  const cuts = Number(await slider.getAttribute('max'));
  expect(cuts).toBeGreaterThan(0);
  const opened = page.locator('.fold-views .packet').nth(1).locator('path');
  await slider.fill('0');
  expect(await opened.count()).toBe(0);
  await slider.fill(String(cuts));
  expect(await opened.count()).toBe(4 * cuts);
  await close();
}, 60_000);

/** Where on the screen a place of the sheet is, given in mm. */
async function onScreen(page: Page, x: number, y: number): Promise<{ x: number; y: number }> {
  return page.evaluate(`(() => {
    const svg = document.querySelector('.canvas');
    const { x, y } = new DOMPoint(${x}, ${y}).matrixTransform(svg.getScreenCTM());
    return { x, y };
  })()`);
}

it('draws a line of glue, takes one away, moves a join, by pointer, keyboard and finger, and undoes', async () => {
  const glue: JobInput = { as: 'glue-line', fineness: 3, bridgeAmount: 'fewer' };
  const { page, close } = await stage.open({ hasTouch: true }, stage.withJob(glue));
  await page
    .getByLabel('Choose a picture')
    .setInputFiles(join(home, 'samples/doodles/two-rings.svg'));
  await settled(page);
  expect(await page.getByRole('button', { name: 'Bridges', exact: true }).count()).toBe(0);
  await page.getByRole('button', { name: 'Strokes', exact: true }).click();

  const drag = async (...places: readonly (readonly [number, number])[]): Promise<void> => {
    const [first, ...rest] = await Promise.all(places.map(([x, y]) => onScreen(page, x, y)));
    await page.mouse.move(first.x, first.y);
    await page.mouse.down();
    for (const { x, y } of rest) await page.mouse.move(x, y, { steps: 4 });
    await page.mouse.up();
  };
  await drag([28, 61], [51, 76], [74, 61]);
  const drawn = await jobWith(page, ({ strokeEdits }) => strokeEdits?.length === 1);
  expect(drawn.strokeEdits).toMatchObject([{ do: 'draw' }]);
  // It holds both rings: no join is left.
  expect(await page.locator('.strokes .join').count()).toBe(0);

  await page.keyboard.press('Control+z');
  await jobWith(page, ({ strokeEdits }) => strokeEdits === undefined);
  const ends = await page.evaluate<number[]>(`(() => {
    const { x1, y1, x2, y2 } = document.querySelector('.strokes .join line');
    return [x1, y1, x2, y2].map((length) => length.baseVal.value);
  })()`);
  await drag([ends[0], ends[1]], [ends[0] - 2, ends[1] + 5]);
  const moved = await jobWith(page, ({ strokeEdits }) => strokeEdits?.length === 1);
  expect(moved.strokeEdits).toMatchObject([{ do: 'move' }]);

  // By keyboard: the first line is taken away, and another is drawn.
  await page.locator('.canvas').focus();
  await page.keyboard.press('Escape');
  await page.keyboard.press('Delete');
  expect(await page.locator('.says').textContent()).toMatch(/^No line is chosen/);
  await page.keyboard.press('n');
  expect(await page.locator('.says').textContent()).toMatch(/^Line 1 of \d+, at /);
  await page.keyboard.press('Delete');
  expect(await page.locator('.says').textContent()).toBe('Taken away.');
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Enter');
  for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowUp');
  await page.keyboard.press('Enter');
  const all = await jobWith(page, ({ strokeEdits }) => strokeEdits?.length === 3);
  expect(all.strokeEdits).toMatchObject([{ do: 'move' }, { do: 'remove' }, { do: 'draw' }]);
  expect(await violations(page)).toEqual([]);
  const line = all.strokeEdits?.[2];
  // From the middle of the sheet half a millimetre to the left, and up three large steps.
  const places = line?.do === 'draw' ? [line.along[0], line.along.at(-1)] : [];
  expect(places).toEqual([about(50.3, 50.8), about(50.3, 35.8)]);

  // By a finger.
  const devtools = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', touchPoints: { x: number; y: number }[]) => devtools.send('Input.dispatchTouchEvent', { type, touchPoints }); // prettier-ignore
  await touch('touchStart', [await onScreen(page, 30, 20)]);
  for (const x of [40, 50, 60]) await touch('touchMove', [await onScreen(page, x, 20)]);
  await touch('touchEnd', []);
  const touched = await jobWith(page, ({ strokeEdits }) => strokeEdits?.length === 4);
  expect(touched.strokeEdits?.[3]).toMatchObject({ do: 'draw' });
  await close();
});
