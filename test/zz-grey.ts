import sharp from 'sharp';
import { completeJob, createPipeline, type JobInput } from '../src/index.js';
import { halfCovered } from '../src/geometry/coverage.js';
const S = 900;
const px = (f: (x: number, y: number) => number, noise: number) => {
  let seed = 5;
  const rnd = () => (seed = (seed * 1103515245 + 12345) & 0x7fffffff) / 0x7fffffff - 0.5;
  return Buffer.from(
    Uint8Array.from({ length: S * S }, (_, i) => {
      const [x, y] = [(i % S) + 0.5 - S / 2, Math.floor(i / S) + 0.5 - S / 2];
      return Math.max(0, Math.min(255, f(x, y) + noise * (rnd() + rnd())));
    }),
  );
};
const lean = (10 * Math.PI) / 180;
const flower = (n: number) => (x: number, y: number) => {
  const r = Math.hypot(x, y) / (S / 2);
  const a = Math.atan2(x, -y) - lean;
  const edge = 0.55 + 0.25 * Math.cos(n * a);
  if (r < 0.15) return 60 + 500 * r;
  if (r < edge)
    return (
      90 +
      120 * (r / edge) * (0.6 + 0.4 * Math.cos(n * a)) -
      30 * Math.abs(Math.sin((n * a) / 2 + 0))
    );
  return 225 - 20 * Math.exp(-(r - edge) * 12);
};
const button = (x: number, y: number) => {
  const r = Math.hypot(x, y) / (S / 2);
  const hole = Math.min(
    ...[0, 1, 2, 3].map((k) =>
      Math.hypot(
        x / (S / 2) - 0.16 * Math.sin((k * Math.PI) / 2 + lean + 0.6),
        y / (S / 2) + 0.16 * Math.cos((k * Math.PI) / 2 + lean + 0.6),
      ),
    ),
  );
  if (hole < 0.07) return 25;
  if (r < 0.5) return 120 + 60 * r;
  if (r < 0.7) return 95 + 80 * Math.cos((r - 0.6) * 15);
  return r < 0.74 ? 60 : 235 - 60 * Math.exp(-(r - 0.74) * 10);
};
for (const [name, f] of [
  ['flower5', flower(5)],
  ['flower8', flower(8)],
  ['button', button],
] as const)
  for (const noise of [0, 12])
    for (const given of [{}, { tone: 'edges' }, { tone: 'local' }] as JobInput[]) {
      const png = await sharp(px(f, noise), { raw: { width: S, height: S, channels: 1 } })
        .jpeg({ quality: 90 })
        .toBuffer();
      const { values } = await createPipeline().run(png, completeJob({ ...given }));
      const { fold, frame, role, read, tone, bridge, check } = values;
      const { width, height } = role.wanted;
      const print = halfCovered(frame.openings, width, height, read.pixelsPerMm);
      const s = fold.symmetry;
      console.log(
        name,
        noise,
        JSON.stringify(given),
        tone.mode,
        tone.chosen?.tone,
        s ? `${s.beside} ${s.layers} ${s.tilt.toFixed(2)}` : 'none',
        'bridges',
        bridge.bridges.length,
        check.findings.filter((f) => f.level === 'error').length,
      );
      const cell = (d: Uint8Array) =>
        sharp(Buffer.from(d.map((v) => 255 - 235 * v)), { raw: { width, height, channels: 1 } })
          .toColourspace('srgb')
          .png()
          .toBuffer();
      await sharp({ create: { width: 3 * 1026, height: 1016, channels: 3, background: '#f88' } })
        .composite([
          {
            input: await sharp(png).resize(1016, 1016).toColourspace('srgb').png().toBuffer(),
            left: 0,
            top: 0,
          },
          { input: await cell(tone.bitmap.data), left: 1026, top: 0 },
          { input: await cell(print.data), left: 2052, top: 0 },
        ])
        .png()
        .toBuffer()
        .then((b) =>
          sharp(b)
            .resize({ width: 1200 })
            .png()
            .toFile(`/tmp/sym/g-${name}-${noise}-${given.tone ?? 'auto'}.png`),
        );
    }
