import { fileURLToPath } from 'node:url';
import type { AddressInfo } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { chromium, type Page } from 'playwright-core';
import { findBrowser } from '../browser.mjs';

const STAR = fileURLToPath(new URL('../../samples/star.svg', import.meta.url));

/** Moves of a drag, and those of them that warm up. */
const [MOVES, WARM_UP] = [80, 20];
/** Px that the pointer goes in a move, and the moves after which it turns back: it stays within the packet. */
const [STRIDE, THERE] = [4, 10];

export const dragFolds = ['half', 'quarter', 'eighth', 'sixth'] as const;

/** Ms from a move of the pointer to the frame that shows the opened sheet of it. */
export interface Drag {
  /** One move at a time. */
  readonly single: readonly number[];
  /** From one sheet to the next while the pointer goes on without a pause. */
  readonly between: number;
}

/**
 * Drags the picture in a folded packet in a real browser: the whole way, from the pointer's event to the frame.
 *
 * @throws Error when there is no browser
 */
export async function dragInBrowser(
  app: FastifyInstance,
  fold: (typeof dragFolds)[number],
): Promise<Drag> {
  if (!app.server.listening) await app.listen({ host: '127.0.0.1', port: 0 });
  const executablePath = findBrowser();
  if (executablePath === undefined) throw new Error('There is no Chromium to measure in');
  const args = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const browser = await chromium.launch({ executablePath, args });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 860 } });
    const job = JSON.stringify({ fold, foldPicture: 'part', mostLayers: '12', foldPlace: '50,50,90,20' }); // prettier-ignore
    const { port } = app.server.address() as AddressInfo;
    await page.goto(`http://localhost:${port}/#${new URLSearchParams({ job }).toString()}`);
    await page.getByLabel('Choose a picture').setInputFiles(STAR);
    await page.locator('.lead', { hasText: /^(Good:|Look before)/ }).waitFor();
    await page.locator('main[aria-busy="false"]').waitFor();
    // A dozen small stencils would be made beside it.
    await page.getByRole('heading', { name: 'Dark and light' }).click();
    const packet = page.locator('.packet.movable');
    await packet.scrollIntoViewIfNeeded();
    const { x, y, width, height } = (await packet.boundingBox())!;
    await page.evaluate(WATCH);
    await page.mouse.move(x + width / 2, y + height / 2);
    await page.mouse.down();
    const drag = await measured(page, x + width / 2, y + height / 2);
    await page.mouse.up();
    return drag;
  } finally {
    await browser.close();
  }
}

async function measured(page: Page, x: number, y: number): Promise<Drag> {
  const single: number[] = [];
  for (let k = 1; k <= MOVES; k++) {
    const to = STRIDE * (THERE - Math.abs((k % (2 * THERE)) - THERE));
    const shown = page.evaluate<number>('nextSheet()');
    await page.mouse.move(x + to, y + to / 2);
    const ms = await shown;
    if (k > WARM_UP && ms > 0) single.push(ms);
  }
  const [first, sheets] = [performance.now(), await page.evaluate<number>('sheets')];
  for (let k = 1; k <= 2 * MOVES; k++) {
    const to = (STRIDE / 2) * (2 * THERE - Math.abs((k % (4 * THERE)) - 2 * THERE));
    await page.mouse.move(x + to, y + to / 2);
    await page.waitForTimeout(16);
  }
  const count = (await page.evaluate<number>('sheets')) - sheets;
  return { single, between: (performance.now() - first) / Math.max(count, 1) };
}

/** In the page: `nextSheet` comes once the opened sheet is another one and drawn, with the ms since the pointer moved. */
const WATCH = `
  let movedAt = 0;
  let waits;
  globalThis.sheets = 0;
  addEventListener('pointermove', ({ timeStamp }) => (movedAt = timeStamp), true);
  globalThis.nextSheet = () => new Promise((resolve) => {
    waits = resolve;
    // Where the picture has left the packet no other sheet comes: such a move is not counted.
    setTimeout(resolve, 2000, 0);
  });
  new MutationObserver(() => {
    const since = movedAt;
    sheets++;
    // After the next frame's callbacks it is painted; a message comes once that is done.
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => waits?.(performance.now() - since);
      port2.postMessage(undefined);
    });
  }).observe(document.querySelectorAll('.fold-views .packet')[1], { subtree: true, childList: true, attributes: true });
`;
