import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { scratch, stencilwright } from './run.js';

/** Prints the peak resident memory (KiB) of the process that it is loaded into, at its end. */
const PROBE =
  'data:text/javascript,process.on("exit",()=>{' +
  'process.stderr.write("peak "+process.resourceUsage().maxRSS)})';

const GIB_IN_KIB = 2 ** 20;

/** Squares of 1 on a page of 1000, as many in a row as there are rows; the dark ones make a disc. */
function drawingOf(shapes: number): string {
  const side = Math.sqrt(shapes);
  const pitch = 1000 / side;
  const squares = Array.from({ length: shapes }, (_, i) => {
    const [x, y] = [(i % side) * pitch, Math.floor(i / side) * pitch];
    const fill = Math.hypot(x - 500, y - 500) < 350 ? '#222' : '#eee';
    return `<rect x="${x.toFixed(1)}" y="${y.toFixed(1)}" width="3" height="3" fill="${fill}"/>`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000">${squares.join('')}</svg>`;
}

describe('memory', () => {
  it('is under 1 GiB for a drawing of 200,000 shapes', () => {
    const folder = scratch();
    const drawing = join(folder, 'confetti.svg');
    writeFileSync(drawing, drawingOf(448 ** 2));
    const made = stencilwright(['make', drawing, '--card', '60x60mm', '--out', folder], {
      node: ['--import', PROBE],
    });
    expect(made.status, made.stderr).toBe(0);
    const peak = Number(/peak (\d+)/.exec(made.stderr)?.[1]);
    expect(peak).toBeGreaterThan(100_000);
    expect(peak).toBeLessThan(GIB_IN_KIB);
  });
});
