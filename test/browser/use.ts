import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Download, Locator, Page } from 'playwright-core';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  createPipeline,
  makeStencil,
  sheetOf,
  type JobInput,
} from '../../src/index.js';
import { COARSE, foldSmall, jobOf, settled, violations } from '../support/browser.js';
import { stage } from './stage.js';
import { home, scratch, stencilwright } from '../cli/run.js';
import { writtenPage } from '../support/written-page.js';
import { brokenPromises, drawStencil } from '../support/stencil-drawing.js';

const MOTH = join(home, 'samples/moth.png');

/** Drops a file on the page, as a hand does. */
async function drop(page: Page, path: string, type: string): Promise<void> {
  const file = {
    name: path.replace(/.*\//, ''),
    type,
    data: readFileSync(path).toString('base64'),
  };
  const transfer = await page.evaluateHandle(`(() => {
    const { name, type, data } = ${JSON.stringify(file)};
    const bytes = Uint8Array.from(atob(data), (character) => character.charCodeAt(0));
    const transfer = new DataTransfer();
    transfer.items.add(new File([bytes], name, { type }));
    return transfer;
  })()`);
  await page.dispatchEvent('.drop', 'drop', { dataTransfer: transfer });
}

const facts = (page: Page): Locator => page.locator('.facts');

/** Where on the screen a place of the sheet is. */
async function onScreen(
  page: Page,
  [x, y]: readonly [number, number],
): Promise<{ x: number; y: number }> {
  return page.evaluate(`(() => {
    const svg = document.querySelector('.canvas');
    const point = new DOMPoint(${x}, ${y}).matrixTransform(svg.getScreenCTM());
    return { x: point.x, y: point.y };
  })()`);
}

async function dragOn(page: Page, from: readonly [number, number], to: readonly [number, number]) {
  const [a, b] = [await onScreen(page, from), await onScreen(page, to)];
  await page.mouse.move(a.x, a.y);
  await page.mouse.down();
  await page.mouse.move((a.x + b.x) / 2, (a.y + b.y) / 2);
  await page.mouse.move(b.x, b.y);
  await page.mouse.up();
}

interface Laid {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

/** The bridges as the page draws them, in mm. */
const laid = (page: Page): Promise<readonly Laid[]> =>
  page.evaluate(`[...document.querySelectorAll('.bridges > g:not(.drawn) > line')].map((line) => ({
    from: [line.x1.baseVal.value, line.y1.baseVal.value],
    to: [line.x2.baseVal.value, line.y2.baseVal.value],
  }))`);

const middle = ({ from, to }: Laid): readonly [number, number] => [
  (from[0] + to[0]) / 2,
  (from[1] + to[1]) / 2,
];

async function bytesOf(download: Download): Promise<Buffer> {
  return readFileSync(await download.path());
}

async function take(page: Page, label: string): Promise<Download> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: label }).click();
  return coming;
}

describe('a person who types words', () => {
  it('sees them in every typeface, edits a bridge that stays with its letter, undoes, takes a job file and goes on', async () => {
    const { page, close } = await stage.open({}, stage.coarse);
    await page.getByLabel('Words, a line each').fill('Bo');
    await page.getByRole('button', { name: 'Show the stencil' }).click();
    await settled(page);
    const bridges = async (): Promise<number> =>
      Number(/(\d+) bridges?/.exec((await facts(page).textContent()) ?? '')?.[1]);
    const proposed = await bridges();
    const faces = page.getByRole('group', { name: 'Typeface' });
    await faces
      .getByText(/capitals from/)
      .first()
      .waitFor();
    expect(await faces.getByText(/capitals from [\d.]+ mm/).count()).toBeGreaterThanOrEqual(6);
    expect(await violations(page)).toEqual([]);

    // In a font file of her own, and back.
    const font = 'node_modules/@fontsource/allerta/files/allerta-latin-400-normal.woff2';
    await page.getByLabel('A font file of your own').setInputFiles(join(home, font));
    await faces.getByText('allerta-latin-400-normal.woff2').waitFor();
    await settled(page);
    expect(await faces.getByRole('radio').first().isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Undo' }).click();
    await settled(page);
    await expect.poll(bridges).toBe(proposed);

    await page.getByRole('button', { name: 'Bridges', exact: true }).click();
    await page.getByRole('application').focus();
    await page.keyboard.press('n');
    await page.keyboard.press('Delete');
    await settled(page);
    await expect.poll(bridges).toBe(proposed - 1);
    const { bridgeEdits } = await jobOf(page);

    // The letter is still there in other words, at another place; in others it is not.
    await page.getByLabel('A line each').fill('Bob');
    await page.getByRole('button', { name: 'Cut these' }).click();
    await settled(page);
    await page.getByText('One file alone').click();
    const file = JSON.parse(
      String(await bytesOf(await take(page, 'Job file: these settings'))),
    ) as {
      job: JobInput;
      words: { lines: string[] };
    };
    expect(file.words).toMatchObject({ lines: ['Bob'] });
    expect(file.job.bridgeEdits).toHaveLength(1);
    expect(file.job.bridgeEdits).not.toEqual(bridgeEdits);

    // With a paint of its own under the letters, and with a picture in two more.
    await page.getByRole('button', { name: 'Layers of paint' }).click();
    await page.getByText('Good: 2 layers, each in one piece.').waitFor();
    const under = page.getByRole('group', { name: 'Under the letters' });
    await under.getByRole('button', { name: 'shadow' }).click();
    await settled(page);
    await page
      .getByLabel('Put a picture beside them')
      .setInputFiles(join(home, 'samples/leaf.svg'));
    await settled(page);
    const parts = page.getByRole('group', { name: 'The picture in' });
    // The picture goes to the server first.
    await parts.waitFor();
    await settled(page);
    expect(await parts.getByRole('button').allTextContents()).toEqual(['1', '2', '3', '4', '5']);
    expect(await violations(page)).toEqual([]);
    const sheets = unzipSync(await bytesOf(await take(page, 'Download all sheets')));
    expect(Object.keys(sheets)).toContain('bob-layers/layer-2/template.pdf');
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await settled(page);

    // Back before the words, and before the bridge was taken away.
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await settled(page);
    await expect.poll(bridges).toBe(proposed);
    await page.getByRole('button', { name: 'Redo' }).click();
    await page.reload();
    await settled(page);
    await expect.poll(bridges).toBe(proposed - 1);
    await close();
  });
});

describe('a person who gives what no stencil can be made of', () => {
  it('reads why in the verdict’s place, and a picture or a font that is none above it', async () => {
    const { page, close } = await stage.open({}, stage.coarse);
    await page.getByLabel('Words, a line each').fill('Bo');
    await page.getByRole('button', { name: 'Show the stencil' }).click();
    // The typefaces come later, and move nothing.
    const below = page.getByLabel('Letter spacing');
    const before = await below.boundingBox();
    await settled(page);
    await page.locator('.typefaces label').first().waitFor();
    expect(await below.boundingBox()).toEqual(before);
    const whyNot = page.locator('.why-not');
    const words = page.locator('.the-words textarea');
    for (const [typed, answer] of [
      ['', /^There are no words\. Type /],
      ['word '.repeat(400), /^The words have \d+ characters, more than anybody cuts/],
      ['a\n'.repeat(700), /^The words have 700 characters/],
      ['Na\u0007na', /^The words hold a character that has no letter, U\+0007/],
      ['Nana \u{1f600}', /no letter for “\u{1f600}” \(U\+1F600\)/u],
      ['Nana \u05e9\u05dc', /no letter for “\u05e9” \(U\+05E9\)/],
    ] as const) {
      await words.fill(typed);
      await page.getByRole('button', { name: 'Cut these' }).click();
      await whyNot.getByText(answer).waitFor();
      expect(await page.locator('.lead').textContent()).toBe('No stencil of these settings.');
    }
    await words.fill('Bo');
    await page.getByRole('button', { name: 'Cut these' }).click();
    await settled(page);
    // Words are a mask, too; what they can't be is not offered.
    const aims = page.locator('.aims button');
    expect(await aims.allTextContents()).toEqual(['Stencil', 'Mask', 'Repeated texture', 'Layers of paint']); // prettier-ignore
    await aims.nth(1).click();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ as: 'mask', words: { lines: ['Bo'] } });
    await page.keyboard.press('Control+z');
    await settled(page);
    const capHeight = page.getByLabel('Cap height');
    await capHeight.fill('-3');
    await capHeight.press('Enter');
    await page.getByText('From 2 to 500 mm.').waitFor();
    await capHeight.fill('300');
    await capHeight.press('Enter');
    await whyNot
      .getByText(/^Capitals of 300 mm make the words .* Give [\d.]+ mm at most/)
      .waitFor();
    await page.keyboard.press('Escape');

    // What is no font and no picture leaves all as it was.
    const trouble = page.locator('.trouble');
    const file = (name: string, bytes: Uint8Array) => ({ name, mimeType: '', buffer: Buffer.from(bytes) }); // prettier-ignore
    const font = readFileSync(join(home, 'node_modules/@fontsource/allerta/files/allerta-latin-400-normal.woff')); // prettier-ignore
    for (const [bytes, answer] of [
      [Buffer.from('no font'), /no typeface that can be read, or it is encrypted/],
      [font.subarray(0, 3000), /it is damaged/],
    ] as const) {
      await page.locator('input[accept*=woff]').setInputFiles(file('own.woff', bytes));
      await trouble.getByText(answer).waitFor();
      await page.getByLabel('Close this message').click();
    }
    await page.getByRole('button', { name: 'stencilwright' }).click();
    const photo = readFileSync(join(home, 'samples/hen.jpg'));
    const choose = page.getByLabel('Choose a picture');
    for (const [name, bytes, answer] of [
      ['none.png', Buffer.alloc(0), /^The file is empty/],
      ['letter.png', Buffer.from('Dear Nana'), /^This is not a picture that can be read/],
      ['half.jpg', photo.subarray(0, photo.length >> 1), /^The picture is damaged/],
      ['bare.svg', Buffer.from('<svg><rect'), /^The drawing is damaged or has no size/],
      ['job.json', Buffer.from('[1]'), /^This file holds no settings/],
    ] as const) {
      await choose.setInputFiles(file(name, bytes));
      await trouble.getByText(answer).waitFor();
      await page.getByLabel('Close this message').click();
    }
    const white = `<svg xmlns="http://www.w3.org/2000/svg" width="80" height="80"><rect width="80" height="80" fill="#fff"/></svg>`;
    await choose.setInputFiles(file('white.svg', Buffer.from(white)));
    await whyNot.getByText(/^Nothing to cut: the picture is light all over/).waitFor();
    expect(await violations(page, 'all', '.side')).toEqual([]);
    await close();
  });
});

describe('a person who has a mouse', () => {
  it('drops a picture, chooses the level, crops, edits bridges, is warned, undoes, downloads, reloads', async () => {
    const { page, close } = await stage.open({ smallStencils: true }, stage.coarse);
    await drop(page, MOTH, 'image/png');
    await settled(page);
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('moth');

    // What was made without a word is told as such, among its like.
    const small = page
      .getByRole('list', { name: 'Ways to tell dark from light' })
      .getByRole('button');
    expect(await small.first().textContent()).toMatch(/^Chosen for you/);
    expect(await small.first().getAttribute('aria-pressed')).toBe('true');

    // While the slider moves, none of them is what is shown.
    const slider = page.getByLabel('Level', { exact: false }).first();
    await page.evaluate(`(() => {
      const range = document.querySelector('#level');
      range.value = 31;
      range.dispatchEvent(new Event('input', { bubbles: true }));
    })()`);
    await expect.poll(() => small.first().getAttribute('aria-pressed')).toBe('false');

    // The level: by its slider, and from the contact sheet.
    await slider.fill('30');
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 30 });
    expect(await small.first().getAttribute('aria-pressed')).toBe('false');
    expect(await small.count()).toBeGreaterThanOrEqual(8);
    await page.getByRole('button', { name: /^Auto .*\d+ pieces?, \d+ bridges?, / }).click();
    await settled(page);
    expect(await jobOf(page)).toEqual({ ...COARSE, tone: 'auto' });
    // The figures of the one that is made are exact, those of the others are told as rough.
    const taken = small.and(page.locator('[aria-pressed="true"]'));
    await expect.poll(() => taken.textContent()).toMatch(/^Auto\d+ pieces?, /);
    await expect
      .poll(() => small.first().textContent(), { timeout: 10_000 })
      .toMatch(/^Chosen for youabout \d+ pieces?, /);
    await foldSmall(page);

    // The crop: a corner of the frame is dragged.
    await page.getByRole('button', { name: 'Crop', exact: true }).click();
    const corner = await page.locator('.grip.se').boundingBox();
    const area = await page.locator('.crop .area').boundingBox();
    await page.mouse.move(corner!.x + 13, corner!.y + 13);
    await page.mouse.down();
    await page.mouse.move(area!.x + area!.width * 0.9, area!.y + area!.height * 0.95, { steps: 4 });
    await page.mouse.up();
    await page.getByRole('button', { name: 'Done' }).click();
    await settled(page);
    const [, , width, height] = ((await jobOf(page)).crop ?? '').split(',').map(Number);
    expect(Math.abs(width - 90)).toBeLessThan(1.5);
    expect(Math.abs(height - 95)).toBeLessThan(1.5);
    await page.getByRole('button', { name: /Undo/ }).click();
    await settled(page);
    expect(await jobOf(page)).toEqual({ ...COARSE, tone: 'auto' });

    // Bridges: one is removed, and the page says what falls out.
    await page.getByRole('button', { name: 'Bridges', exact: true }).click();
    const before = await laid(page);
    expect(before.length).toBeGreaterThan(3);
    for (
      let tries = 0;
      tries < 8 &&
      !(await page
        .getByText(/would fall out/)
        .first()
        .isVisible());
      tries++
    ) {
      const [bridge] = await laid(page);
      const at = await onScreen(page, middle(bridge));
      await page.mouse.click(at.x, at.y);
      await page.keyboard.press('Delete');
      await page.waitForTimeout(300);
      await settled(page);
    }
    await page
      .getByText(/island.* would fall out/)
      .first()
      .waitFor();
    const removed = (await jobOf(page)).bridgeEdits ?? [];
    expect(removed.every((edit) => edit.do === 'remove')).toBe(true);

    // One is added where the first lay: it holds again.
    const first = before[0];
    await dragOn(page, first.from, first.to);
    await page.waitForTimeout(300);
    await settled(page);
    const added = (await jobOf(page)).bridgeEdits ?? [];
    expect(added.map((edit) => edit.do)).toContain('add');

    // Another is moved by its end.
    const other = (await laid(page)).at(-1)!;
    const away: readonly [number, number] = [other.to[0] + 1, other.to[1] + 0.4];
    await dragOn(page, other.to, away);
    await page.waitForTimeout(300);
    await settled(page);
    expect((await jobOf(page)).bridgeEdits?.some((edit) => edit.do === 'move')).toBe(true);

    // All of it is taken back, and done again.
    const edited = await jobOf(page);
    while ((await jobOf(page)).bridgeEdits) await page.keyboard.press('Control+z');
    expect(await jobOf(page)).toEqual({ ...COARSE, tone: 'auto' });
    await settled(page);
    const whole = await facts(page).textContent();
    while (await page.getByRole('button', { name: /Redo/ }).isEnabled()) {
      await page.keyboard.press('Control+Shift+z');
    }
    expect(await jobOf(page)).toEqual({ ...edited, crop: undefined });
    while ((await jobOf(page)).bridgeEdits) await page.keyboard.press('Control+z');
    await settled(page);
    expect(await facts(page).textContent()).toBe(whole);

    // The files are what the library makes of the same job.
    await page.getByText('One file alone').click();
    const drawing = await bytesOf(await take(page, 'Cut lines (SVG)'));
    const job = completeJob({ ...COARSE, tone: 'auto' });
    const made = await makeStencil(readFileSync(MOTH), job, { name: 'moth', outputs: ['stencil'] });
    expect(drawing.toString()).toBe(made.files.get('stencil.svg'));
    const pieces = Number(/^(\d+) piece/.exec(whole ?? '')?.[1]);
    expect(drawing.toString().match(/M/g)?.length).toBeGreaterThanOrEqual(pieces);
    expect((await take(page, 'Download the stencil')).suggestedFilename()).toBe('moth.zip');

    // A reload brings back the picture and the settings.
    await page.reload();
    await settled(page);
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('moth');
    expect(await facts(page).textContent()).toBe(whole);
    await close();
  });

  it('drops a photograph as a phone takes it, a HEIC of twelve megapixels', async () => {
    const { page, close } = await stage.open({}, stage.coarse);
    await drop(page, join(home, 'test/fixtures/twelve-megapixels.heic'), 'image/heic');
    await settled(page);
    expect(await facts(page).textContent()).toMatch(/^[1-9]\d* pieces? to cut away/);
    // The browser itself can't read the file: what it shows of it is a copy.
    await page.getByRole('button', { name: 'Crop', exact: true }).click();
    const shown = await page.evaluate<number>(`(async () => {
      const image = document.querySelector('.crop img');
      await image.decode();
      return image.naturalWidth / image.naturalHeight;
    })()`);
    expect(shown).toBeCloseTo(3024 / 4032, 2);
    await close();
  });

  it('is offered the crop that keeps the most of a picture too rich for its card', async () => {
    const small: JobInput = { ...COARSE, card: '60x60mm' };
    const { page, close } = await stage.open({}, stage.withJob(small));
    const sketch = join(home, 'samples/boathouse-sketch.jpg');
    await drop(page, sketch, 'image/jpeg');
    await settled(page);
    await page.getByRole('button', { name: 'Crop closer' }).click();
    await settled(page);
    const { crop } = await jobOf(page);
    const job = completeJob(small);
    const { advice } = await createPipeline().runFor(['advice'], readFileSync(sketch), job);
    expect(crop).toBe(advice?.crop?.box);
    await page.getByRole('button', { name: /Undo/ }).click();
    await settled(page);
    expect(await jobOf(page)).toEqual(small);
    // Where hardly anything of it is left, that comes before that it can be cut.
    await page.getByLabel('Card', { exact: true }).fill('30 x 30 mm');
    await page.keyboard.press('Enter');
    await page.locator('.lead', { hasText: /^Little of the picture is left/ }).waitFor();
    await close();
  });

  it('sees the faces that were found, takes one away, draws one, and looks again', async () => {
    const { page, close } = await stage.open({}, stage.withJob({ card: '85x85mm', fineness: 4 }));
    // Of the small stencils one is enough, and not the one that is shown large.
    const asked: (JobInput | undefined)[] = [];
    await page.route('**/sketch', (route) => {
      const { view, job } = route.request().postDataJSON() as { view: string; job: JobInput };
      if (view !== 'contact-1') return route.fallback();
      asked.push(job);
      return route.continue();
    });
    const four = join(home, 'node_modules/@vladmandic/face-api/demo/sample4.jpg');
    await drop(page, four, 'image/jpeg');
    await settled(page);
    const small = page.getByRole('button', { name: /^Auto *about \d/ }).locator('path');
    await small.waitFor();
    const withAll = await small.getAttribute('d');
    await page.getByRole('button', { name: 'Faces', exact: true }).click();
    const faces = page.locator('.faces .area');
    expect(await faces.locator('rect').count()).toBe(4);
    await faces.press('n');
    await faces.press('Delete');
    await settled(page);
    const left = (await jobOf(page)).faceBoxes;
    expect(left).toHaveLength(3);
    // The small ones have the faces that are left.
    await expect.poll(() => small.getAttribute('d'), { timeout: 20_000 }).not.toBe(withAll);
    expect(asked.map((job) => job?.faceBoxes)).toEqual([undefined, left]);
    await foldSmall(page);

    // A box is drawn where none was found, moved, and taken away.
    const area = (await faces.boundingBox())!;
    const drag = async (...places: readonly (readonly [number, number])[]): Promise<void> => {
      for (const [k, [x, y]] of places.entries()) {
        await page.mouse.move(area.x + (area.width * x) / 100, area.y + (area.height * y) / 100);
        if (k === 0) await page.mouse.down();
      }
      await page.mouse.up();
    };
    const boxIs = async (box: readonly number[]): Promise<void> => {
      const faceBoxes = (await jobOf(page)).faceBoxes ?? [];
      expect(faceBoxes).toHaveLength(4);
      expect(faceBoxes.at(-1)).toEqual(box.map((at) => expect.closeTo(at, 0) as unknown));
      expect(faceBoxes.slice(0, 3)).toEqual(left);
    };
    await drag([2, 2], [6, 8], [12, 16]);
    await boxIs([2, 2, 10, 14]);
    const status = page.locator('.faces [role=status]');
    expect(await status.textContent()).toBe('4 faces, number 4 chosen.');
    await drag([7, 9], [9, 12], [10, 14]);
    await boxIs([5, 7, 10, 14]);
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    expect((await jobOf(page)).faceBoxes).toEqual(left);
    await settled(page);
    await page.getByRole('button', { name: 'Look for them again' }).click();
    await settled(page);
    expect(await jobOf(page)).not.toHaveProperty('faceBoxes');
    // What a crop would keep no better is not offered.
    expect(await page.getByRole('button', { name: 'Crop to the faces' }).count()).toBe(0);
    await close();
  });

  it('is told first that writing is too small to be read', async () => {
    const { page, close } = await stage.open({}, stage.withJob({ fineness: 5, tone: 'auto' }));
    const letter = { name: 'letter.svg', mimeType: 'image/svg+xml', buffer: writtenPage('allerta', 60) }; // prettier-ignore
    await page.getByLabel('Choose a picture').setInputFiles(letter);
    await page.locator('.lead', { hasText: /^Its writing is too small to be read, though/ }).waitFor(); // prettier-ignore
    expect(await page.locator('.findings').textContent()).toContain('one of writing');
    await close();
  });

  it('has the lines of a drawing in chalk cut at one click, in place of the ground', async () => {
    const { page, close } = await stage.open({}, stage.withJob({ card: '60x60mm', fineness: 5 }));
    const board = `<svg xmlns="http://www.w3.org/2000/svg" width="600" height="600"><rect width="600" height="600" fill="#222"/><circle cx="300" cy="300" r="180" fill="none" stroke="#eee" stroke-width="14"/></svg>`;
    const chalk = { name: 'chalk.svg', mimeType: 'image/svg+xml', buffer: Buffer.from(board) };
    await page.getByLabel('Choose a picture').setInputFiles(chalk);
    await page.getByRole('button', { name: 'Cut the lines' }).click();
    await settled(page);
    expect((await jobOf(page)).swap).toBe(true);
    expect(await page.getByRole('button', { name: 'Cut the lines' }).count()).toBe(0);
    await close();
  });

  it('crops to the faces where that brings back what they lost', async () => {
    // A face of 6 mm where 11 are needed, in a picture of which faces need a quarter: neither is at its limit.
    const person = join(home, 'node_modules/@vladmandic/face-api/demo/sample2.jpg');
    const small = await sharp(person)
      .resize(700, 700, { fit: 'cover', position: 'top' })
      .toBuffer();
    const create = { width: 1000, height: 1000, channels: 3, background: '#d8d4cc' } as const;
    const picture = join(scratch(), 'person.png');
    await sharp({ create })
      .composite([{ input: small }])
      .toFile(picture);
    const job: JobInput = { card: '75x75mm', fineness: 5 };
    const { page, close } = await stage.open({}, stage.withJob(job));
    await drop(page, picture, 'image/png');
    await settled(page);
    const toFaces = page.getByRole('button', { name: 'Crop to the faces' });
    await toFaces.click();
    await settled(page);
    const { crop } = await jobOf(page);
    const [pipeline, bytes] = [createPipeline(), readFileSync(picture)];
    const values = (of: JobInput) => pipeline.runFor(['features'], bytes, completeJob(of));
    const before = await values(job);
    expect(crop).toBe(before.features?.crop);
    expect(before.features?.faces.flatMap(({ lost }) => lost)).not.toEqual([]);
    // Advice comes after the stencil: nothing more is lost, so none comes.
    const after = await values({ ...job, crop: crop! });
    expect(after.features?.faces.flatMap(({ lost }) => lost)).toEqual([]);
    expect(await toFaces.count()).toBe(0);
    expect(
      await page
        .locator('.findings')
        .getByText(/lost an eye or the mouth/)
        .count(),
    ).toBe(0);
    await page.getByRole('button', { name: /Undo/ }).click();
    await settled(page);
    expect(await jobOf(page)).toEqual(job);
    await close();
  });

  it('is told of a setting that changes nothing, by the words beside its field', async () => {
    const { page, close } = await stage.open({}, stage.withJob({ fineness: 3 }));
    await drop(page, MOTH, 'image/png');
    await settled(page);
    // A level that is set by itself means the tone level.
    await page.getByText('Set it by numbers').click();
    await page.locator('#set-level').fill('40');
    await page.locator('#set-level').blur();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 40 });
    expect(await page.locator('.findings').count()).toBe(0);
    await page.getByRole('heading', { name: 'Repeat' }).click();
    await page.locator('#set-motifSize').fill('26');
    await page.locator('#set-motifSize').blur();
    await settled(page);
    expect(await page.locator('.findings').textContent()).toBe(
      '“Motif size” changes nothing here: nothing is repeated; “Repeat” says how.',
    );
    await close();
  });

  it('gets from the page, byte for byte, what the command line makes of the job file', async () => {
    const { page, close } = await stage.open({}, stage.withJob({ fineness: 4 }));
    await page.getByLabel('Choose a picture').setInputFiles(MOTH);
    await settled(page);
    // A card that is none is told at its field, and Escape brings back what holds.
    const card = page.getByLabel('Card', { exact: true });
    const usual = await card.inputValue();
    await card.fill('four by four');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').waitFor();
    await page.keyboard.press('Escape');
    expect(await card.inputValue()).toBe(usual);
    expect(await page.getByRole('alert').count()).toBe(0);
    // What is being typed stays while an answer comes.
    await page.getByLabel('Level', { exact: false }).first().fill('30');
    await card.fill('a6');
    await settled(page);
    expect(await card.inputValue()).toBe('a6');
    await page.keyboard.press('Enter');
    await settled(page);
    await page.getByRole('button', { name: /^Chosen for you/ }).click();
    await settled(page);
    await page.getByText('One file alone').click();
    const folder = scratch();
    const jobFile = join(folder, 'job.json');
    await (await take(page, 'Job file: these settings')).saveAs(jobFile);
    expect(JSON.parse(readFileSync(jobFile, 'utf8'))).toEqual({
      fineness: 4,
      card: 'a6',
      tone: 'best',
    });
    const files = {
      'stencil.svg': await bytesOf(await take(page, 'Cut lines (SVG)')),
      'template.pdf': await bytesOf(await take(page, 'Template to print (PDF)')),
      'preview.png': await bytesOf(await take(page, 'Preview (PNG)')),
      'report.json': await bytesOf(await take(page, 'Report (JSON)')),
    };
    // The drawing keeps the promises when an independent renderer draws it.
    const drawing = drawStencil(files['stencil.svg'].toString());
    const job = completeJob({ card: 'a6', fineness: 4 });
    expect(brokenPromises(drawing, sheetOf(job), job)).toEqual([]);
    const { status } = stencilwright(['make', MOTH, '--settings', jobFile, '--out', folder]);
    expect([0, 1]).toContain(status);
    for (const [name, bytes] of Object.entries(files)) {
      const theirs = readFileSync(join(folder, 'moth', name));
      expect(timeless(bytes), name).toBe(timeless(theirs));
    }
    await close();
  });
});

/** A report's times differ from one run to the next, and one that is taken alone names no files beside it. */
const timeless = (bytes: Buffer) =>
  bytes
    .toString('latin1')
    .replace(/"timingsMs": \{[^}]*\}/, '')
    .replace(/("madeFrom": \{[^[]*"files": \[)[^\]]*\]/, '$1]');

describe('a person who has a keyboard only', () => {
  it('goes from a sample to a downloaded stencil with a bridge removed, one added, and the level changed', async () => {
    const { page, close } = await stage.open({}, stage.coarse);
    await page.getByRole('button', { name: 'A moth' }).waitFor();
    await tabTo(page, 'A moth');
    await page.keyboard.press('Enter');
    await settled(page);

    await tabTo(page, 'Bridges');
    await page.keyboard.press('Enter');
    await page
      .getByLabel(/^Bridges\. N and P/)
      .and(page.locator(':focus'))
      .waitFor();
    await page.keyboard.press('n');
    await page.keyboard.press('Delete');
    await settled(page);
    expect((await jobOf(page)).bridgeEdits).toMatchObject([{ do: 'remove' }]);
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Enter');
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowUp');
    await page.keyboard.press('Enter');
    expect((await jobOf(page)).bridgeEdits).toMatchObject([{ do: 'remove' }, { do: 'add' }]);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('n');
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(800);
    expect((await jobOf(page)).bridgeEdits).toMatchObject([{ do: 'remove' }, { do: 'move' }]);

    await tabTo(page, 'Parts');
    await page.keyboard.press('Enter');
    await page
      .getByLabel(/^Single parts\. /)
      .and(page.locator(':focus'))
      .waitFor();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    expect((await jobOf(page)).regionEdits).toHaveLength(1);
    await page.keyboard.press('Enter');
    expect((await jobOf(page)).regionEdits).toBeUndefined();

    await tabTo(page, /^Level/);
    await page.keyboard.press('ArrowRight');
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 51 });

    await tabTo(page, 'Download the stencil');
    const coming = page.waitForEvent('download');
    await page.keyboard.press('Enter');
    expect((await coming).suggestedFilename()).toBe('moth.zip');
    await close();
  });
});

/** Presses Tab until what has the focus goes by a name. */
async function tabTo(page: Page, name: string | RegExp): Promise<void> {
  const seen: string[] = [];
  for (let i = 0; i < 200; i++) {
    await page.keyboard.press('Tab');
    const now = await page.evaluate<string>(`(() => {
      const focus = document.activeElement;
      const label = focus.labels?.[0]?.textContent;
      return (focus.getAttribute('aria-label') ?? label ?? focus.textContent).trim().slice(0, 60);
    })()`);
    if (typeof name === 'string' ? now === name : name.test(now)) return;
    seen.push(now);
  }
  throw new Error(`Tab never came to ${name}: ${seen.join(', ')}`);
}
