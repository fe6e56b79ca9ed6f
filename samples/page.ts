/** Draws `samples/page.png`, the page as README shows it: `npx tsx samples/page.ts`, after `npm run build`. */
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { openStage, settled } from '../test/support/browser.js';

const stage = await openStage();
const { page, close } = await stage.open({
  viewport: { width: 1440, height: 900 },
  reducedMotion: 'reduce',
  colorScheme: 'light',
  smallStencils: true,
});
await page.getByRole('button', { name: 'A moth' }).click();
await settled(page);
const small = page.getByRole('list', { name: 'Ways to tell dark from light' });
await small.getByRole('button', { name: /pieces?, \d+ bridges?/ }).nth(5).waitFor(); // prettier-ignore
await page.waitForLoadState('networkidle');
const shown = await page.screenshot();
await close();
await stage.close();
await sharp(shown)
  .resize({ width: 1000 })
  .png({ palette: true, colours: 128 })
  .toFile(fileURLToPath(new URL('page.png', import.meta.url)));
