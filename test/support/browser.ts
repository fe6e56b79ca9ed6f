import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AddressInfo } from 'node:net';
import {
  chromium,
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  type Page,
} from 'playwright-core';
import { expect } from 'vitest';
import { localeOf } from '../../cli/make.js';
import type { JobInput } from '../../src/index.js';
import { findBrowser } from '../browser.mjs';
import { startApp } from './page.js';

/** A server that listens, a real browser, and what ends both. */
export interface Stage {
  readonly address: string;
  /** The same, where coarse stencils are wanted. */
  readonly coarse: string;
  /** The page's address with the settings of a job. */
  readonly withJob: (job: JobInput) => string;
  /**
   * Opens the page in a window of its own; what it or the browser writes to the console as an error, save for what a test
   * expects, fails the test in `close`.
   */
  readonly open: (options?: Looks, at?: string, expected?: RegExp) => Promise<Window>;
  readonly close: () => Promise<void>;
}

interface Window {
  readonly page: Page;
  readonly close: () => Promise<void>;
}

/** What hands do on the page is the same at any size; a small and coarse stencil is made at once. */
export const COARSE: JobInput = { fineness: 3, card: '60x60mm' };

interface Looks extends BrowserContextOptions {
  /** Whether the dozen small stencils of the tones are made after each change; else they are refused as superseded. */
  readonly smallStencils?: boolean;
}

const isRoot = process.getuid?.() === 0;

export async function openStage(): Promise<Stage> {
  const executablePath = findBrowser();
  if (executablePath === undefined) {
    throw new Error(
      'There is no Chromium; npm test installs one, or name one with STENCILWRIGHT_BROWSER',
    );
  }
  const { app, stop } = await startApp({ ...localeOf(process.env), limits: { threads: 1 } });
  await app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = app.server.address() as AddressInfo;
  const address = `http://localhost:${port}/`;
  const withJob = (job: JobInput): string =>
    `${address}#${new URLSearchParams({ job: JSON.stringify(job) }).toString()}`;
  let browser: Browser;
  try {
    // Chromium has no sandbox for root; the page that it shows here is ours.
    browser = await chromium.launch({ executablePath, args: isRoot ? ['--no-sandbox'] : [] });
  } catch (error) {
    await stop();
    throw error;
  }
  return {
    address,
    coarse: withJob(COARSE),
    withJob,
    async open({ smallStencils = false, ...options } = {}, at = address, expected) {
      const context = await browser.newContext({
        viewport: { width: 1280, height: 860 },
        ...options,
      });
      if (!smallStencils) await refuseSmallStencils(context);
      const page = await context.newPage();
      const wrongs: string[] = [];
      page.on('pageerror', (error) => wrongs.push(String(error)));
      page.on('console', (message) => {
        if (message.type() === 'error' && !expected?.test(message.text())) {
          wrongs.push(message.text());
        }
      });
      await page.goto(at);
      return {
        page,
        close: async () => {
          await context.close();
          expect(wrongs).toEqual([]);
        },
      };
    },
    close: async () => {
      await browser.close();
      await stop();
    },
  };
}

async function refuseSmallStencils(context: BrowserContext): Promise<void> {
  await context.route('**/api/pictures/*/sketch', async (route) => {
    const { contact } = route.request().postDataJSON() as { contact?: boolean };
    if (contact !== true) return route.fallback();
    const json = { status: 409, what: 'None here', where: 'contact', remedy: 'Ask for them' };
    const headers = { 'preference-applied': route.request().headers().prefer };
    return route.fulfill({ headers, json });
  });
}

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
}

/** The rules of axe-core's category `cat.color` that it goes by when nothing else is asked. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

/**
 * What an accessibility engine (axe-core, WCAG 2.2 A and AA and its best practices) finds wrong with the page.
 *
 * @param kind `colours`: only its rules on colours, for what was looked at in other colours
 * @param within what is looked at, as a selector: each element costs a millisecond, and most were looked at before
 */
export async function violations(
  page: Page,
  kind: 'all' | 'colours' = 'all',
  within = 'html',
): Promise<readonly string[]> {
  if (!(await page.evaluate<boolean>("'axe' in window"))) await page.evaluate(axe);
  const rules = kind === 'colours' ? { runOnly: { type: 'rule', values: COLOUR_RULES } } : {};
  const found = await page.evaluate<{ violations: readonly Violation[] }>(
    `axe.run(${JSON.stringify(within)}, ${JSON.stringify(rules)})`,
  );
  return found.violations.map(
    ({ id, nodes }) =>
      `${id}: ${nodes.map(({ html, failureSummary }) => `${html} ${failureSummary}`).join(' | ')}`,
  );
}

/**
 * What a finger or a pointer would miss: controls in sight that are smaller than so many px (WCAG 2.2, 2.5.8: 24; 2.5.5:
 * 44), with their size. A control within its label is as large as that.
 */
export function smallTargets(page: Page, px: number): Promise<readonly string[]> {
  return page.evaluate(`(() => {
    const controls = 'button, a[href], input, select, textarea, summary, [role=button], [role=slider]';
    return [...document.querySelectorAll(controls)].flatMap((control) => {
      // A field for files stands behind what opens it.
      if (!control.checkVisibility() || control.type === 'file') return [];
      const { width, height } = (control.closest('label') ?? control).getBoundingClientRect();
      // Half a px is how a size is rounded.
      if (width === 0 || Math.min(width, height) > ${px} - 0.5) return [];
      return [control.outerHTML.slice(0, 120) + ': ' + Math.round(width) + ' x ' + Math.round(height)];
    });
  })()`);
}

/** Folds the small stencils away, a dozen of which would be made after each change. */
export async function foldSmall(page: Page): Promise<void> {
  await page.getByRole('heading', { name: 'Dark and light' }).click();
}

/** The settings that the page's address holds. */
export async function jobOf(page: Page): Promise<JobInput> {
  const hash = await page.evaluate<string>('location.hash');
  return JSON.parse(new URLSearchParams(hash.slice(1)).get('job') ?? '{}') as JobInput;
}

/** Waits until the page shows a checked stencil of the present settings. */
export async function settled(page: Page): Promise<void> {
  // A finding may begin with the same words as the verdict.
  const hasText = /^(Good:|Look before|Little of|\d+ islands? would)/;
  await page.locator('.lead', { hasText }).waitFor();
  await page.locator('main[aria-busy="false"]').waitFor();
}
