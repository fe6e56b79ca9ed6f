import GeometryFactory from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import WKTReader from 'jsts/org/locationtech/jts/io/WKTReader.js';
import SnapIfNeededOverlayOp from 'jsts/org/locationtech/jts/operation/overlay/snap/SnapIfNeededOverlayOp.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { completeJob, makeStencil, type Made } from '../../src/index.js';
import { masksPdf } from '../../src/output/pdf/masks.js';
import { loopsOf } from '../support/path-data.js';
import { readPdf } from '../support/pdf.js';

/*
 * What is cut away and what stays are the sheet: areas by another library (jsts, a port of the JTS Topology Suite) from
 * stencil.svg as it was written. masks.pdf read back by an independent reader (pdfjs-dist).
 */

interface Geometry {
  getArea(): number;
}
const reader = new WKTReader(new GeometryFactory()) as { read(text: string): Geometry };
const jsts = SnapIfNeededOverlayOp as {
  difference(a: Geometry, b: Geometry): Geometry;
};

function polygon(loop: readonly (readonly [number, number])[]): Geometry {
  const places = [...loop, loop[0]].map(([x, y]) => `${x} ${y}`);
  return reader.read(`POLYGON ((${places.join(', ')}))`);
}

interface Ordered {
  readonly order: readonly {
    readonly number: number;
    readonly areaMm2: number;
    readonly mask: boolean;
  }[];
  readonly plan: { readonly masks: number };
}

const MOTIF = Buffer.from(
  `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="400"><rect width="400" height="400" fill="#fff"/>
<circle cx="130" cy="130" r="80" fill="none" stroke="#111" stroke-width="36"/><rect x="260" y="60" width="90" height="120"/>
<path d="M60 320 L180 250 L340 330 Z"/><circle cx="300" cy="240" r="12"/></svg>`,
);
const sheet = { widthMm: 120, heightMm: 120 };

describe('the pieces that drop out', () => {
  let made: Made;
  let report: Ordered;

  beforeAll(async () => {
    const job = completeJob({ card: '120x120mm', tone: 'auto' });
    made = await makeStencil(MOTIF, job, { name: 'motif', outputs: ['stencil'], locale: 'en-US' });
    report = JSON.parse(String(made.files.get('report.json'))) as Ordered;
  });

  it('and the film that stays are the sheet', () => {
    const { widthMm, heightMm } = sheet;
    const loops = loopsOf(String(made.files.get('stencil.svg')));
    const whole = polygon([
      [0, 0],
      [widthMm, 0],
      [widthMm, heightMm],
      [0, heightMm],
    ]);
    const film = loops
      .reduce((rest, loop) => jsts.difference(rest, polygon(loop)), whole)
      .getArea();
    const dropped = report.order.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    expect(report.order).toHaveLength(loops.length);
    expect(Math.abs(film + dropped - widthMm * heightMm)).toBeLessThan(0.5);
  });

  it('are masks from a size on, numbered as in the order of cutting', async () => {
    const kept = report.order.filter(({ areaMm2 }) => areaMm2 >= 100);
    expect(report.order.filter(({ mask }) => mask)).toEqual(kept);
    expect(report.plan.masks).toBe(kept.length);
    expect(kept.length).toBeGreaterThan(1);
    expect(kept.length).toBeLessThan(report.order.length);
    const { bridge, plan } = made.run.values;
    const [page] = await readPdf(
      await masksPdf({
        name: 'motif',
        openings: bridge.openings,
        plan,
        sheet,
        job: made.job,
        locale: 'en-US',
      }),
    );
    const numbers = page.written.map(({ text }) => text).filter((text) => /^\d+$/.test(text));
    expect(numbers.map(Number).sort((a, b) => a - b)).toEqual(kept.map(({ number }) => number));
    expect(page.text).toContain(`${kept.length} pieces worth keeping`);
  });

  it('are told when none is large enough', async () => {
    const job = completeJob({ ...made.job, smallestMask: 9000 });
    const { values } = await makeStencil(MOTIF, job, { name: 'motif', outputs: ['masks'] }).then(
      async ({ run, files }) => {
        const [page] = await readPdf(files.get('masks.pdf') as Uint8Array);
        expect(page.text).toContain('No piece is large enough to keep.');
        return run;
      },
    );
    expect(values.plan.pieces.some(({ keep }) => keep)).toBe(false);
  });
});
