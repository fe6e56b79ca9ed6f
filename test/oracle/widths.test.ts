import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';
import { completeJob, makeStencil, type JobInput } from '../../src/index.js';
import { photographFile, sampleFiles } from '../support/photographs.js';
import { measureNecks } from '../support/widths.js';

/*
 * How wide film and openings are, by an independent renderer at 20 and 200 px a mm (resvg) and a computer-vision library
 * (OpenCV). `npm run widths` measures all samples and open photographs on four cards.
 */

/** A width that is short of its limit by no more is not felt, in mm. */
const MOST_SHORT_MM = 0.05;

const sample = (name: string): string => sampleFiles.find((file) => basename(file) === name)!;

describe('film and openings are as wide as their limits', () => {
  // Each of these had a place short by 0.055 to 0.25 mm while the check measured on pixels.
  it.each<[string, string, JobInput['tool']]>([
    ['the hen', sample('hen.jpg'), 'hot-tip'],
    ['a photograph', photographFile('black-canyon'), 'craft-knife'],
  ])('in the stencil of %s', async (_, file, tool) => {
    const job = completeJob({ card: '80x80mm', tool });
    const made = await makeStencil(file, job, { name: 'widths', outputs: ['stencil'] });
    const limits = { film: job.narrowestStrip, opening: job.narrowestOpening };
    const { sheet } = made.run.values.read;
    const necks = measureNecks(String(made.files.get('stencil.svg')), sheet, limits);
    const short = necks.filter(({ region, widthMm }) => widthMm < limits[region] - MOST_SHORT_MM);
    expect(short).toEqual([]);
    expect(made.good).toBe(true);
  });
});

describe('the measure of widths', () => {
  const sheet = { widthMm: 40, heightMm: 30 };
  const limits = { film: 1.6, opening: 1.5 };
  const measured = (path: string) => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">
<rect id="sheet" x="0" y="0" width="40" height="30" fill="none"/>
<path id="openings" fill-rule="evenodd" d="${path}"/></svg>`;
    return measureNecks(svg, sheet, limits);
  };
  const box = (x: number, y: number, width: number, height: number): string =>
    `M${x} ${y}L${x + width} ${y}L${x + width} ${y + height}L${x} ${y + height}Z`;
  const rooms = (neckMm: number): string => {
    const [top, bottom] = [15 - neckMm / 2, 15 + neckMm / 2];
    return `M10 10L18 10L18 ${top}L22 ${top}L22 10L30 10L30 20L22 20L22 ${bottom}L18 ${bottom}L18 20L10 20Z`;
  };

  it.each([0.6, 1.2, 1.43])('finds an opening’s neck of %f mm', (neckMm) => {
    const [neck, ...others] = measured(rooms(neckMm)).toSorted((a, b) => a.widthMm - b.widthMm);
    expect(neck.region).toBe('opening');
    expect(neck.widthMm).toBeCloseTo(neckMm, 2);
    expect(others.every(({ region }) => region === 'opening')).toBe(true);
  });

  it.each([0.6, 1.2, 1.53])('finds %f mm of film between two openings', (stripMm) => {
    const necks = measured(box(8, 8, 12 - stripMm / 2, 14) + box(20 + stripMm / 2, 8, 10, 14));
    expect(necks.map(({ region }) => region)).toContain('film');
    expect(necks[0].widthMm).toBeCloseTo(stripMm, 2);
  });

  it('finds film that is narrow along the sheet’s edge', () => {
    const [neck] = measured(box(15, 1.2, 10, 26));
    expect(neck.region).toBe('film');
    expect(neck.widthMm).toBeCloseTo(1.2, 1);
  });

  it('passes what is wide enough, and corners', () => {
    expect(measured(box(6, 6, 8, 8) + box(15.7, 6, 8, 8))).toEqual([]);
    expect(measured('M6 6L34 8L8 24Z')).toEqual([]);
    expect(measured(rooms(1.56))).toEqual([]);
  });
});
