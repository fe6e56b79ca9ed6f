import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Locator, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { completeJob, makeLayers, makeStencil, type JobInput } from '../../src/index.js';
import { settings } from '../../src/settings/job.js';
import { bands, ring } from '../cli/pictures.js';
import { foldSmall, jobOf, settled, smallTargets, violations } from '../support/browser.js';
import { readPdf } from '../support/pdf.js';
import { stage } from './stage.js';

/** In the dark the page is the same but for its colours. */
async function wrong(page: Page, within?: string): Promise<readonly string[]> {
  const light = await violations(page, 'all', within);
  await page.emulateMedia({ colorScheme: 'dark' });
  const dark = await violations(page, 'colours', within);
  await page.emulateMedia({ colorScheme: 'light' });
  return [...light, ...dark.map((each) => `in the dark: ${each}`)];
}

describe('an accessibility engine finds nothing wrong, in light and in the dark, and no target is too small', () => {
  it.each([
    ['on a desk', { width: 1280, height: 860 }, ['Bridges', 'Parts', 'Crop'], 24],
    // The hands are the same there, in another place.
    ['on a phone', { width: 390, height: 844 }, ['Bridges', 'Subject'], 44],
  ])('%s', async (_, viewport, hands, px) => {
    // Without motion, so that no colour is looked at on its way to another.
    const isPhone = px === 44;
    const touch = { hasTouch: isPhone, isMobile: isPhone };
    const looks = { colorScheme: 'light', reducedMotion: 'reduce', viewport, ...touch } as const;
    const { page, close } = await stage.open(looks, stage.coarse);
    await page.getByRole('button', { name: 'A moth' }).waitFor();
    expect(await wrong(page)).toEqual([]);
    expect(await smallTargets(page, px)).toEqual([]);
    await page.getByRole('button', { name: 'A moth' }).click();
    await settled(page);
    await page.evaluate(
      "document.querySelectorAll('details').forEach((each) => (each.open = true))",
    );
    expect(await wrong(page)).toEqual([]);
    expect(await smallTargets(page, px)).toEqual([]);
    // The card and its rulers stand clear of the buttons below them.
    const zooms = (await page.locator('.zooms').boundingBox())!;
    for (const part of ['.canvas .sheet > rect', '.rulers text >> nth=-1']) {
      const { y, height } = (await page.locator(part).boundingBox())!;
      expect(y + height, part).toBeLessThan(zooms.y);
    }
    // On a desk all of the page is in sight, and its settings scroll by themselves.
    const tall = 'document.documentElement.scrollHeight - innerHeight';
    if (!isPhone) expect(await page.evaluate<number>(tall)).toBeLessThanOrEqual(0);
    // A choice is called here what it is called in help and in options.
    const choices = await page.evaluate<string[]>(`[...document.querySelectorAll(
      '.controls select:not([id^=words]) option, .controls .segments span')].map((each) => each.textContent)`);
    const known = Object.values(settings).flatMap((one) => ('choices' in one ? one.choices : []));
    expect(choices.length).toBeGreaterThan(40);
    expect(choices.filter((choice) => !(known as string[]).includes(choice))).toEqual([]);
    for (const hand of hands) {
      await page.getByRole('button', { name: hand, exact: true }).click();
      expect(await violations(page, 'all', '.hero'), hand).toEqual([]);
      expect(await smallTargets(page, px), hand).toEqual([]);
    }
    if (isPhone) {
      // The longest bar of a tool lies at the foot, and leaves the other tools free.
      await page.evaluate('scrollTo(0, 0)');
      await page.getByRole('button', { name: 'Crop', exact: true }).click();
      const [tools, bar] = [(await page.locator('.tools').boundingBox())!, (await page.locator('.ways').boundingBox())!]; // prettier-ignore
      expect(tools.y + tools.height).toBeLessThan(bar.y);
      expect(await smallTargets(page, px)).toEqual([]);
    }
    await page.getByRole('button', { name: 'Look', exact: true }).click();
    await page.getByRole('button', { name: 'True size' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await wrong(page, 'dialog')).toEqual([]);
    expect(await smallTargets(page, px)).toEqual([]);
    await close();
  });
});

/** Small and coarse: what a hand does on the page is the same. */
const SMALL: JobInput = { fineness: 3, card: '60x60mm', tone: 'auto' };

const button = (page: Page, name: string | RegExp) =>
  page.getByRole('button', { name, exact: true });

/** Drops files on the page, as a hand does. */
async function drop(page: Page, ...paths: readonly string[]): Promise<void> {
  const files = paths.map((path) => ({
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
}

/** As cheap as can be: how the page is laid out does not hang on it, save that what is told in inches is longer than in mm. */
const TINY: JobInput = { fineness: 2, card: '1.6x1.6in', tone: 'auto', faces: 'none' };

/** Every action of the bench, by the words or the place of what is pressed; a range is set to a number. */
const ACTIONS: readonly (readonly [within: string, label: string, to?: number])[] = [
  ...['Dark and light', 'Card', 'Picture', 'Subject', 'Repeat', 'Fold', 'Cutting', 'Glue', 'Time', 'Bridges', 'Print', 'Dark and light'].map((panel) => ['.panels > details > summary', panel] as const), // prettier-ignore
  ...['Bridges', 'Parts', 'No bridges', 'Subject', 'Faces', 'Finer', 'Crop'].map((tool) => ['.tools button', tool] as const), // prettier-ignore
  ['.ways button', '↻ Turn right'],
  ['.ways label', 'Keep the card’s shape'],
  ['.ways button', 'Whole picture'],
  ['.ways button', 'Flatten a page'],
  ['.ways button', 'Lay it flat'],
  ['.ways button', 'Done'],
  ...['Photo', 'Dark, light', 'Widths', 'Curves', 'Stencil', 'Print'].map((name) => ['.strip button', name] as const), // prettier-ignore
  ...['+', '−', 'Whole', 'Compare', 'Compare'].map((zoom) => ['.zooms button', zoom] as const),
  ['.swap', 'Swap dark and light'],
  ['#level', '', 40],
  // Nothing is that dark: no stencil.
  ['#level', '', 1],
  ...['Undo', 'Redo', 'Undo'].map((step) => ['.top .plain', step] as const), // prettier-ignore
  ...['Mask', 'Repeated texture', 'Layers of paint', 'Folded sheet', 'Lines of glue', 'Stencil'].map((aim) => ['.aims button', aim] as const), // prettier-ignore
  ['.tray li button', 'bands.png'],
  ['.tray label', 'Same settings for all'],
];

/** Does all of it one after the other, and tells what moved: under the pointer at all, or of the page a tenth and more. */
const movedBy = (page: Page): Promise<readonly string[]> =>
  page.evaluate(`(async () => {
    const told = [];
    const frames = async (count) => {
      for (; count > 0; count--) await new Promise(requestAnimationFrame);
    };
    const rest = async () => {
      await frames(2);
      for (let i = 0; i < 1200 && document.querySelector('main[aria-busy="true"], .floating'); i++) await frames(1);
      await frames(2);
    };
    const shifts = new PerformanceObserver(() => {});
    for (const [within, label, to] of ${JSON.stringify(ACTIONS)}) {
      const pressed = [...document.querySelectorAll(within)].find(
        (each) => label === '' || (each.querySelector('h2') ?? each).textContent.trim() === label);
      const what = within + ' ' + label;
      if (!pressed || pressed.disabled) {
        told.push(what + ' is not there');
        continue;
      }
      pressed.scrollIntoView({ block: 'nearest' });
      await frames(2);
      shifts.observe({ type: 'layout-shift' });
      const before = pressed.getBoundingClientRect();
      if (to === undefined) pressed.click();
      else {
        pressed.value = to;
        for (const kind of ['input', 'change']) pressed.dispatchEvent(new Event(kind, { bubbles: true }));
      }
      await rest();
      const after = pressed.getBoundingClientRect();
      const away = Math.hypot(after.x - before.x, after.y - before.y);
      if (pressed.isConnected && after.width > 0 && away > 0) told.push(what + ' moved by ' + away + ' px');
      const moved = shifts.takeRecords();
      const sum = moved.reduce((total, { value }) => total + value, 0);
      if (sum >= 0.1)
        told.push(what + ' shifts ' + sum + ': ' + moved.flatMap(({ sources }) => sources.map(({ node }) => node?.className ?? node?.nodeName)));
      shifts.disconnect();
    }
    return told;
  })()`);

// The browser's own measure: Layout Instability, W3C; a page is good under a tenth in all.
it.each([1440, 390])(
  'nothing moves under the hand, whatever is pressed, %d px wide',
  async (width) => {
    const isPhone = width === 390;
    const touch = { hasTouch: isPhone, isMobile: isPhone };
    const looks = { reducedMotion: 'reduce', viewport: { width, height: 844 }, ...touch } as const;
    const { page, close } = await stage.open(looks, stage.withJob(TINY));
    const folder = mkdtempSync(join(tmpdir(), 'stencilwright-still-'));
    const both = [await ring(join(folder, 'ring.png'), 200), join(folder, 'bands.png')];
    await bands(both[1]);
    await page.getByLabel('Choose a picture').setInputFiles(both);
    await settled(page);
    expect(await smallTargets(page, isPhone ? 44 : 24)).toEqual([]);
    expect(await movedBy(page)).toEqual([]);
    await close();
    rmSync(folder, { recursive: true, force: true });
  },
  60_000,
);

/** How many pieces and bridges something on the page tells of. */
async function countsOf(told: Locator): Promise<readonly number[]> {
  const [, pieces, bridges] = /(\d+) pieces?.*?(\d+) bridges?/.exec((await told.textContent()) ?? '') ?? []; // prettier-ignore
  return [pieces, bridges].map(Number);
}

it('shows small what comes of a way, with the crop, the subject and the parts that she chose', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'stencilwright-small-'));
  const job: JobInput = {
    fineness: 2,
    card: '50x50mm',
    crop: '5,5,90,80',
    faces: 'none',
    marks: [{ do: 'box', from: [8, 8], to: [92, 92] }],
    regionEdits: [{ do: 'drop', at: [25, 25] }],
  };
  const { page, close } = await stage.open({ smallStencils: true }, stage.withJob(job));
  const asked: (JobInput | undefined)[] = [];
  page.on('request', (request) => {
    const { contact, job: of } = (request.url().endsWith('/sketch') ? request.postDataJSON() : {}) as { contact?: boolean; job?: JobInput }; // prettier-ignore
    if (contact === true) asked.push(of);
  });
  await page.getByLabel('Choose a picture').setInputFiles(await ring(join(folder, 'ring.png'), 200)); // prettier-ignore
  await settled(page);
  const small = page.getByRole('list', { name: 'Ways to tell dark from light' }).getByRole('button', { name: /^Local/ }); // prettier-ignore
  await expect.poll(() => small.textContent(), { timeout: 20_000 }).toMatch(/^Localabout \d/);
  for (const each of asked) expect(each).toMatchObject(job);
  const before = await countsOf(small);
  await small.click();
  await settled(page);
  expect(await jobOf(page)).toEqual({ ...job, tone: 'local' });
  await expect.poll(() => small.textContent()).toMatch(/^Local\d+ pieces?, /);
  const exact = await countsOf(small);
  expect(exact).toEqual(await countsOf(page.locator('.facts')));
  expect(exact).toEqual(before);
  const bytes = readFileSync(join(folder, 'ring.png'));
  const { run } = await makeStencil(bytes, completeJob({ ...job, tone: 'local' }), { name: 'ring', outputs: [] }); // prettier-ignore
  expect(exact).toEqual([run.values.frame.openings.length, run.values.frame.bridges.length]);
  await close();
  rmSync(folder, { recursive: true, force: true });
});

describe('a person who looks again', () => {
  let page: Page;
  let close: () => Promise<void>;
  let picture: string;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'stencilwright-look-'));
    picture = await ring(join(folder, 'ring.png'), 200);
    await bands(join(folder, 'bands.png'));
    const onTable = `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200"><rect width="200" height="200" fill="#654"/><path d="M40 20L150 40L160 170L20 180Z" fill="#eee"/><circle cx="90" cy="100" r="25" fill="#000"/></svg>`;
    await sharp(Buffer.from(onTable)).toFile(join(folder, 'page.png'));
    const looks = { reducedMotion: 'reduce', viewport: { width: 1280, height: 860 } } as const;
    ({ page, close } = await stage.open(looks, stage.withJob(SMALL), /ERR_INTERNET_DISCONNECTED/));
    await page.getByLabel('Choose a picture').setInputFiles(picture);
    await settled(page);
  });
  afterAll(async () => {
    await close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('finds all aims beside the picture, and a mask is as good as it is', async () => {
    await button(page, 'Swap dark and light').click();
    expect((await jobOf(page)).swap).toBe(true);
    await page.keyboard.press('Control+z');
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

  /** Holds what the page shows of its settings against what the library makes of them. */
  const expectOf = async (what: string): Promise<void> => {
    const bytes = readFileSync(picture);
    await settled(page);
    const job = completeJob(await jobOf(page));
    const { run, good, files } = await makeStencil(bytes, job, { name: 'ring', outputs: ['stencil'] }); // prettier-ignore
    const { frame, plan, measure } = run.values;
    const told = [
      `^(${good ? 'Good: one piece|Little of' : 'Look before|\\d+ islands? would'}).* `,
      `${frame.openings.length} pieces? to cut away · ${frame.bridges.length} bridges? · `,
      `.* · about ${Math.max(1, Math.ceil(plan.minutes - plan.warmUpMinutes))} minutes? to cut`,
      ` · the print differs on ${(100 * measure.fidelity).toFixed(1)} % of the card$`,
    ].join('');
    const shown = (await page.locator('.lead, .facts').allTextContents()).join(' ');
    expect(shown, what).toMatch(new RegExp(told));
    const drawn = await page.locator('.canvas .sheet path').first().getAttribute('d');
    expect(String(files.get('stencil.svg')), what).toContain(` d="${drawn}"`);
  };

  it('shows of each aim the verdict, the figures and the picture of the library', async () => {
    await expectOf('stencil');
    await button(page, 'Mask').click();
    await expectOf('mask');
    await button(page, 'Repeated texture').click();
    for (const repeat of ['straight', 'half-drop', 'mirrored', 'brick']) {
      await page.selectOption('#set-repeat', repeat);
      await expectOf(repeat);
    }
    await button(page, 'Stencil').first().click();
    await settled(page);
    const undo = button(page, 'Undo');
    while ((await undo.getAttribute('aria-disabled')) === 'false') await undo.click();
    await settled(page);
    expect(await jobOf(page)).toEqual(SMALL);
  });

  it('is told of a server that does not answer, which then goes on by itself', async () => {
    const slider = page.locator('#level');
    await page.context().setOffline(true);
    await slider.fill('40');
    await page.locator('.lead', { hasText: 'The server does not answer.' }).waitFor();
    expect(await button(page, 'Download the stencil').isDisabled()).toBe(true);
    // It is asked ever less often; but whoever comes back to the page need not wait.
    let asked = 0;
    page.on('request', (request) => (asked += Number(request.url().endsWith('/stencil'))));
    for (const times of [1, 2, 3]) {
      await page.evaluate("dispatchEvent(new Event('focus'))");
      await expect.poll(() => asked, { timeout: 2500 }).toBeGreaterThanOrEqual(times);
    }
    await page.context().setOffline(false);
    await page.evaluate("dispatchEvent(new Event('focus'))");
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 40 });
    await page.keyboard.press('Control+z');
    await settled(page);
  });

  it('prints the template from a tab of its own', async () => {
    const answer = page.waitForResponse(/files\/template$/);
    const opened = page.waitForEvent('popup');
    await button(page, 'Print the template').click();
    const [{ headers, status }, tab] = await Promise.all([
      answer.then((each) => ({ headers: each.headers(), status: each.status() })),
      opened,
    ]);
    expect(status).toBe(200);
    expect(headers['content-type']).toBe('application/pdf');
    await tab.close();
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
    // Nor is there a part to leave out or to keep there, once the picture is known.
    await button(page, 'Parts').click();
    const clicked = async (): Promise<string | null> => {
      await page.mouse.click(x, y);
      const said = await page.locator('.says').textContent();
      if (/^Kept/.test(said ?? '')) await page.keyboard.press('Control+z');
      return said;
    };
    await expect.poll(clicked).toMatch(/^Nothing was left out here/);
    expect(await jobOf(page)).toEqual(SMALL);
    await foldSmall(page);
    await page.keyboard.press('3');
    expect(await button(page, 'Look').getAttribute('aria-pressed')).toBe('true');
    await button(page, 'Stencil').last().click();
    expect(await page.locator('.bridge-marks line').count()).toBeGreaterThan(0);
    // The print beside its paint: other colours are seen at once.
    await button(page, 'Print').last().click();
    await page.getByLabel('Paint colour').fill('#802020');
    await page.locator('.canvas .sheet path[fill="#802020"]').waitFor();
    expect((await jobOf(page)).paint).toBe('#802020');
    await page.keyboard.press('Control+z');
    expect(await jobOf(page)).toEqual(SMALL);
    await button(page, 'Stencil').last().click();
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
    await page.getByLabel('Straighten').first().fill('4');
    expect((await jobOf(page)).straighten).toBe(4);
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
    const drag = async (from: readonly [number, number], to: readonly [number, number]) => {
      await page.mouse.move(...at(from));
      await page.mouse.down();
      await page.mouse.move(...at(to));
      await page.mouse.up();
      await settled(page);
    };
    await drag([10, 10], [90, 90]);
    expect(await page.locator('.taken image').count()).toBe(1);
    await button(page, 'Look').click();
    await expectOf('subject');
    await button(page, 'Subject').click();
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
    // A size as a person writes it.
    const card = page.getByLabel('Card', { exact: true });
    await card.fill('5 cm square');
    await card.press('Enter');
    await settled(page);
    expect(await page.locator('.canvas .sheet > rect').getAttribute('width')).toBe('50');
    await page.keyboard.press('Escape');
    // Rulers and places are in what she gave the card in.
    expect(await page.locator('.rulers .unit').textContent()).toBe('cm');
    await button(page, 'Bridges').click();
    await page.locator('.canvas').press('n');
    expect(await page.locator('.says').textContent()).toMatch(
      /^Bridge 1 of \d+, at [0-4](\.\d+)?, [0-4](\.\d+)? cm\./,
    );
    await button(page, 'Look').click();
    await button(page, 'Undo').click();
    await settled(page);
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
      await expect.poll(() => remove.count(), { timeout: 10_000 }).toBe(left - 1);
    }
    await settled(page);
    expect(await page.evaluate<string>('document.activeElement.tagName')).not.toBe('BODY');
    await page.getByText(/would fall out/).first().waitFor(); // prettier-ignore
    // The verdict may be out of sight: the picture says it, too.
    expect(await page.locator('.badge').textContent()).toMatch(/^\d+ islands? would fall out\.$/);
    await page.getByRole('button', { name: /^Show it \([\d.]+, [\d.]+ mm\)$/ }).click();
    expect(await page.locator('.goal').count()).toBe(1);
    // One after the other, under a pointer that stays where it is.
    const next = button(page, 'The next one');
    const before = await next.boundingBox();
    await next.click();
    expect(await next.boundingBox()).toEqual(before);
    expect(await page.locator('.findings').textContent()).toMatch(/2 of \d+/);
    // What she prints says so, too.
    await page.getByText('One file alone').click();
    for (const file of ['Template to print (PDF)', 'Plan of cutting (PDF)']) {
      const coming = page.waitForEvent('download');
      await button(page, file).click();
      const [{ text, drawn }] = await readPdf(readFileSync(await (await coming).path()));
      expect(text.replaceAll('\n', ' '), file).toMatch(
        /Look before you begin, where the red rings are: /,
      );
      expect(drawn.filter(({ colour }) => colour === '#b3261e').length, file).toBeGreaterThan(0);
    }
    await page.getByText('One file alone').click();
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

  it('is offered to have a page on a table laid flat', async () => {
    await drop(page, join(folder, 'page.png'));
    await settled(page);
    await button(page, 'Lay it flat').click();
    await settled(page);
    const corners = ((await jobOf(page)).page ?? '').split(',').map(Number);
    expect(corners).toEqual([20, 10, 75, 20, 80, 85, 10, 90].map((at) => expect.closeTo(at, -0.3) as unknown)); // prettier-ignore
    expect(await button(page, 'Lay it flat').count()).toBe(0);
    // A job file may ask for it to be found: a crop is then drawn on the page as it lies flat.
    const asked = { ...SMALL, page: 'find', crop: '10,20,80,60' };
    const jobFile = { name: 'job.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(asked)) }; // prettier-ignore
    await page.locator('input[type=file][accept*=json]').last().setInputFiles(jobFile);
    await settled(page);
    await button(page, 'Crop').click();
    const [area, part] = [await page.locator('.crop .area').boundingBox(), await page.locator('.crop .part').boundingBox()]; // prettier-ignore
    const natural = await page.evaluate<number>(`(async () => {
      const image = document.querySelector('.crop img');
      await image.decode();
      return image.naturalWidth / image.naturalHeight;
    })()`);
    expect(area!.width / area!.height).toBeCloseTo(natural, 1);
    expect(part!.height / area!.height).toBeCloseTo(0.6, 2);
    // A corner that was found is moved.
    await button(page, 'Flatten a page').click();
    await page.getByText(/^Found\./).waitFor();
    expect(await page.locator('.says').textContent()).toMatch(/^The page comes to lie flat/);
    await page.locator('.crop .area').press('ArrowRight');
    await page.locator('.crop .area').press('Enter');
    const [left] = ((await jobOf(page)).page ?? '').split(',').map(Number);
    expect(left - corners[0]).toBeCloseTo(0.5, 1);
    await page.keyboard.press('Control+z');
    await button(page, 'Done').click();
    await page.keyboard.press('Control+z');
    await settled(page);
  });

  it('begins anew with the next picture, goes through several, and takes all as one folder', async () => {
    const others = [picture, picture.replace('ring', 'bands')];
    await page.keyboard.press('Control+z');
    await drop(page, ...others);
    await page.getByRole('navigation', { name: 'Your pictures' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toEqual({ fineness: 3, card: '60x60mm' });
    await page.locator('#level').fill('60');
    await settled(page);
    await button(page, 'bands.png').click();
    await page.getByRole('heading', { level: 1, name: 'bands' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 60 });
    expect(await violations(page)).toEqual([]);
    // With settings of its own, one is changed and the other stays.
    await page.getByLabel('Same settings for all').uncheck();
    await page.locator('#level').fill('45');
    await settled(page);
    await button(page, 'ring.png').click();
    await page.getByRole('heading', { level: 1, name: 'ring' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 60 });
    await button(page, 'bands.png').click();
    await page.getByRole('heading', { level: 1, name: 'bands' }).waitFor();
    await settled(page);
    expect(await jobOf(page)).toMatchObject({ tone: 'level', level: 45 });
    const coming = page.waitForEvent('download');
    await button(page, 'Download all 2').click();
    const taken = unzipSync(readFileSync(await (await coming).path()));
    const levelOf = (name: string): unknown => {
      const report = Buffer.from(taken[`stencils/${name}/report.json`]).toString();
      return (JSON.parse(report) as { job: { level?: unknown } }).job.level;
    };
    expect([levelOf('ring'), levelOf('bands')]).toEqual([60, 45]);
    expect(Object.keys(taken)).toEqual(
      expect.arrayContaining(['stencils/ring/stencil.svg', 'stencils/bands/template.pdf']),
    );
  });

  it('shows the picture that was dropped last, whichever comes first', async () => {
    const names: string[] = [];
    let letGo = (): void => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    await page.route('**/api/pictures?name=*', async (route) => {
      names.push(new URL(route.request().url()).searchParams.get('name') ?? '');
      if (names.length === 1) await held;
      await route.fallback();
    });
    await drop(page, picture);
    await expect.poll(() => names.length).toBe(1);
    await drop(page, picture.replace('ring', 'bands'));
    await page.getByRole('heading', { level: 1, name: 'bands' }).waitFor();
    await settled(page);
    const late = page.waitForResponse(/pictures\?name=ring/);
    letGo();
    await late;
    await settled(page);
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('bands');
    await page.unroute('**/api/pictures?name=*');
  });

  it('paints in layers, with colours of its own, to the downloaded sheets', async () => {
    let made = 0;
    page.on('request', (request) => (made += Number(request.url().endsWith('/layers'))));
    await button(page, 'Layers of paint').click();
    await page.getByText('Good: 3 layers').waitFor();
    // One after the other, faster than layers are made: each stays.
    await page.getByLabel('Painted first').fill('#ffcc00');
    await page.getByLabel('Painted last').fill('#204060');
    for (const paint of ['#ffcc00', '#204060'])
      await page.locator(`.canvas path[fill="${paint}"]`).waitFor();
    await page.locator('main[aria-busy="false"]').waitFor();
    // Other paints are the same sheets.
    expect(made).toBe(1);
    const job = completeJob(await jobOf(page));
    const wanted = { count: 3, levels: null, laid: 'nested', overlap: 1, paints: null } as const;
    const bytes = readFileSync(picture.replace('ring', 'bands'));
    const { layers } = await makeLayers(bytes, job, wanted, { name: 'bands' });
    const runs = layers.map(({ made }) => made.run.values);
    const sum = (all: readonly number[]): number => all.reduce((total, one) => total + one, 0);
    const minutes = runs.map(({ plan }) => plan.minutes - plan.warmUpMinutes);
    expect(await page.locator('.facts').textContent()).toMatch(
      new RegExp(
        `^${sum(runs.map(({ frame }) => frame.openings.length))} pieces? to cut away · ${sum(runs.map(({ frame }) => frame.bridges.length))} bridges? · about ${Math.ceil(sum(minutes))} minutes? to cut in all$`,
      ),
    );
    await button(page, 'Sheet 2').click();
    expect(await page.locator('.canvas .sheet > path').count()).toBe(1);
    const drawn = await page.locator('.canvas .sheet > path').getAttribute('d');
    expect(String(layers[1].made.files.get('stencil.svg'))).toContain(` d="${drawn}"`);
    expect(await violations(page)).toEqual([]);
    const coming = page.waitForEvent('download');
    await button(page, 'Download all sheets').click();
    const files = Object.keys(unzipSync(readFileSync(await (await coming).path())));
    for (const layer of [1, 2, 3])
      expect(files).toContain(`bands-layers/layer-${layer}/template.pdf`);
  });
});
