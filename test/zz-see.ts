import sharp from 'sharp';
const { completeJob, createPipeline } = (await import(
  (process.env.ROOT ?? '/tmp/wt-symmetry') + '/src/index.ts'
)) as typeof import('../src/index.js');
const OUT = process.env.OUT ?? '/tmp/sym';
import { symmetricDrawings } from './support/symmetric-drawings.js';
import { halfCovered } from '../src/geometry/coverage.js';
const only = process.argv.slice(2);
for (const d of symmetricDrawings) {
  if (only.length && !only.some((w) => d.name.includes(w))) continue;
  const t = process.cpuUsage();
  const src = process.env.SCAN ? await scan(d.svg) : Buffer.from(d.svg);
  const { values } = await createPipeline().run(
    src,
    completeJob(JSON.parse(process.env.JOB ?? '{}')),
  );
  const { user } = process.cpuUsage(t);
  const { fold, read, frame, bridge, check, role, tone } = values;
  const s = fold.symmetry;
  const { width, height } = role.wanted;
  const ppm = read.pixelsPerMm;
  const print = halfCovered(frame.openings, width, height, ppm);
  const offs: number[] = [];
  if (s)
    for (const g of s.copies.slice(1)) {
      const moved = frame.openings.map(({ outer, holes }) => ({
        outer: mv(outer, g),
        holes: holes.map((h) => mv(h, g)),
      }));
      const img = halfCovered(moved as never, width, height, ppm);
      let [a, o] = [0, 0];
      print.data.forEach((v, i) => {
        const w = process.env.MASK ? 1 - v : v,
          u = process.env.MASK ? 1 - img.data[i] : img.data[i];
        a += w;
        o += w & (1 - u);
      });
      offs.push(o / a);
    }
  const k = SIDEof(read);
  console.log(
    d.name,
    '| found',
    s &&
      `${s.beside} ${s.layers} tilt ${s.tilt.toFixed(2)} c ${s.centre!.x.toFixed(3)},${s.centre!.y.toFixed(3)}`,
    '| true',
    d.turns,
    d.axis,
    `${k(d.centre[0], 0)},${k(d.centre[1], 1)}`,
    '| off',
    Math.max(0, ...offs).toFixed(4),
    '| bridges',
    bridge.bridges.length,
    '| errors',
    check.findings.filter((f) => f.level === 'error').map((f) => f.message),
    tone.mode,
    (user / 1e6).toFixed(1) + 's',
  );
  const shown = await sharp(Buffer.from(d.svg), { density: 250 })
    .resize(1016, 1016)
    .png()
    .toBuffer();
  const cell = await sharp(Buffer.from(print.data.map((v) => 255 - 235 * v)), {
    raw: { width, height, channels: 1 },
  })
    .toColourspace('srgb')
    .png()
    .toBuffer();
  await sharp({ create: { width: 2042, height: 1016, channels: 3, background: '#f88' } })
    .composite([
      { input: shown, left: 0, top: 0 },
      { input: cell, left: 1026, top: 0 },
    ])
    .png()
    .toFile(`${OUT}/${d.name.replaceAll(' ', '-')}.png`);
}
function SIDEof(read: {
  frame: { x: number; y: number; width: number; height: number };
  pixelsPerMm: number;
}) {
  return (mm: number, axis: 0 | 1) =>
    (
      ((axis ? read.frame.y : read.frame.x) + (mm / 89.6) * read.frame.width) /
      read.pixelsPerMm
    ).toFixed(3);
}
function mv(
  o: { coords: Float64Array },
  g: { a: number; b: number; c: number; d: number; e: number; f: number },
) {
  const coords = o.coords.slice();
  for (let i = 0; i < coords.length; i += 2) {
    coords[i] = g.a * o.coords[i] + g.c * o.coords[i + 1] + g.e;
    coords[i + 1] = g.b * o.coords[i] + g.d * o.coords[i + 1] + g.f;
  }
  return { ...o, coords };
}

async function scan(svg: string) {
  const { data, info } = await sharp(Buffer.from(svg), { density: 300 })
    .flatten({ background: '#fff' })
    .greyscale()
    .rotate(2.7, { background: '#fff' })
    .blur(1.2)
    .raw()
    .toBuffer({ resolveWithObject: true });
  let seed = 7;
  const rnd = () => (seed = (seed * 1103515245 + 12345) & 0x7fffffff) / 0x7fffffff - 0.5;
  const noisy = Buffer.from(
    data.map((v, i) => {
      const x = (i % info.width) / info.width;
      return Math.max(0, Math.min(255, v * (0.86 + 0.1 * x) + 24 * (rnd() + rnd())));
    }),
  );
  return sharp(noisy, { raw: { width: info.width, height: info.height, channels: 1 } })
    .jpeg({ quality: 85 })
    .toBuffer();
}
