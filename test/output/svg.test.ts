import { describe, expect, it } from 'vitest';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { circle, leaf, rectangle, solid } from './outlines.js';

const sheet = { widthMm: 101.6, heightMm: 148 };
const pathOf = (svg: string): string => / d="([^"]*)"/.exec(svg)?.[1] ?? 'no path';

describe('stencilSvg', () => {
  it('has the sheet in mm, its edge, and one path of what is cut', () => {
    expect(stencilSvg([solid(rectangle(10, 20, 30, 5))], sheet)).toBe(
      `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="101.6mm" height="148mm" viewBox="0 0 101.6 148">
<rect id="sheet" x="0" y="0" width="101.6" height="148" fill="none" stroke="#9aa0a6" stroke-width="0.1"/>
<path id="openings" fill="#1d1d1f" fill-rule="evenodd" d="M10 20L40 20L40 25L10 25L10 20Z"/>
</svg>
`,
    );
  });

  it('has an empty path where nothing is cut', () => {
    expect(pathOf(stencilSvg([], sheet))).toBe('');
  });

  it('keeps curves as curves and closes every outline', () => {
    const path = pathOf(
      stencilSvg(
        [solid(circle(30, 30, 20), circle(30, 30, 10)), solid(leaf(60, 60, 20, 6, 0))],
        sheet,
      ),
    );
    expect(path.match(/C/g)).toHaveLength(4 + 4 + 2);
    expect(path.match(/M/g)).toHaveLength(3);
    expect(path.match(/Z/g)).toHaveLength(3);
    expect(path).not.toContain('L');
  });

  it('writes no more than three decimals', () => {
    const path = pathOf(stencilSvg([solid(circle(30 + 1 / 7, 30 - 1 / 3, 20 / 3))], sheet));
    expect(path.match(/\.\d+/g)).not.toHaveLength(0);
    expect(path).not.toMatch(/\.\d{4}|e-/);
  });
});
