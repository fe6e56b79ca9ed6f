import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  createPipeline,
  createSketchPipeline,
  stagesToSketch,
  type JobInput,
  type StencilValues,
} from '../../src/index.js';
import { creepMm, layersOf } from '../../src/settings/folds.js';
import { flatten } from '../../src/geometry/flatten.js';
import { foldedBack, foldPattern, imageOf, inverseOf } from '../../src/geometry/fold-pattern.js';
import { signedArea } from '../../src/geometry/signed-area.js';

const drawing = (inside: string, width = 300, height = 300): Buffer =>
  Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="${width}" height="${height}" fill="#fff"/>${inside}</svg>`,
  );

const USUAL: JobInput = { tone: 'level', smoothing: 0, strands: 'never', fineness: 4 };

async function made(picture: Buffer, given: JobInput): Promise<StencilValues> {
  const { values } = await createPipeline().run(picture, completeJob({ ...USUAL, ...given }));
  return values;
}

const codes = ({ check }: StencilValues): readonly string[] =>
  check.findings.map(({ code }) => code);
const errors = ({ check }: StencilValues): readonly string[] =>
  check.findings.filter(({ level }) => level === 'error').map(({ message }) => message);

/** What a person is told instead of a stencil. */
const refused = (picture: Buffer, given: JobInput): Promise<string> =>
  made(picture, given).then(
    () => 'made',
    (error: unknown) => String(error),
  );

describe('a fold pattern', () => {
  const sheet = { widthMm: 120, heightMm: 120 };
  it.each([
    ['half', '2', 2],
    ['quarter', '2', 4],
    ['eighth', '2', 8],
    ['sixth', '2', 12],
    ['to-and-fro', '5', 5],
  ] as const)(
    'of %s has as many copies as layers, each with its way back',
    (fold, foldPanels, layers) => {
      const pattern = foldPattern({ fold, foldPanels, sheet });
      expect(layersOf({ fold, foldPanels })).toBe(layers);
      expect(pattern?.copies).toHaveLength(layers);
      // A place well inside the packet: its corners' mean.
      const corners = pattern!.outline;
      const x = corners.reduce((sum, corner) => sum + corner.x, 0) / corners.length;
      const y = corners.reduce((sum, corner) => sum + corner.y, 0) / corners.length;
      for (const copy of pattern!.copies) {
        const image = imageOf(copy, { x, y });
        const back = imageOf(inverseOf(copy), image);
        expect([back.x, back.y]).toEqual([expect.closeTo(x, 9), expect.closeTo(y, 9)]);
        const folded = foldedBack(pattern!, image.x, image.y);
        expect([folded?.x, folded?.y]).toEqual([expect.closeTo(x, 9), expect.closeTo(y, 9)]);
      }
    },
  );

  it('has none for a sheet that is not folded', () => {
    expect(foldPattern({ fold: 'none', foldPanels: '2', sheet })).toBeUndefined();
  });
});

describe('creep', () => {
  it('is thickness × layers × π/2, and none in one layer', () => {
    // Common practice, no source.
    expect(creepMm(8, 0.14)).toBeCloseTo((0.14 * 8 * Math.PI) / 2);
    expect(creepMm(1, 0.14)).toBe(0);
  });

  it('widens the strips of scissors with the layers', () => {
    const strip = (fold: JobInput['fold']): number => completeJob({ fold }).narrowestStrip;
    expect(strip('quarter')).toBeGreaterThan(strip('half'));
    expect(strip('eighth')).toBeGreaterThan(strip('quarter'));
  });
});

describe('a folded sheet', () => {
  it('is 6 × 6 in and cut with scissors unless that is said', () => {
    expect(completeJob({ fold: 'eighth' })).toMatchObject({ card: '6x6in', tool: 'scissors' });
    expect(completeJob({ fold: 'half', card: 'a6', tool: 'craft-knife' })).toMatchObject({
      card: 'a6',
      tool: 'craft-knife',
    });
  });

  it('has what a half is cut to twice, the same area in each layer', async () => {
    const values = await made(drawing('<circle cx="150" cy="150" r="100"/>'), {
      fold: 'half',
      card: '80x60mm',
      foldPlace: '100,50,60,0',
    });
    expect(errors(values)).toEqual([]);
    expect(values.packet?.packetCuts).toHaveLength(1);
    const [cut] = values.packet!.packetCuts;
    const opened = values.frame.openings.reduce(
      (sum, { outer }) => sum + Math.abs(signedArea(flatten(outer, 0.002))),
      0,
    );
    expect(opened / (2 * cut.areaMm2)).toBeCloseTo(1, 3);
    expect(cut.entries).toHaveLength(1);
    expect(cut.entries[0].at.x).toBeCloseTo(40, 6);
  });

  it.each([
    [
      'joins a large one by a slot',
      '<rect x="60" y="60" width="120" height="180"/>',
      'opening-joined',
    ],
    [
      'leaves a small one out that is far from every fold',
      '<circle cx="110" cy="150" r="9"/><rect x="260" y="20" width="40" height="260"/>',
      'opening-left-out',
    ],
    [
      'moves one over the fold that lies beside it',
      '<circle cx="228" cy="150" r="42"/>',
      'opening-moved',
    ],
  ])('%s, where scissors can’t begin', async (_, inside, code) => {
    const values = await made(drawing(`${inside}<path d="M0 0H4V4H0ZM296 296h4v4h-4z"/>`), {
      fold: 'half',
      card: '120x70mm',
      foldPicture: 'part',
      foldPlace: '50,50,100,0',
      smallestOpening: 2,
    });
    expect(codes(values)).toContain(code);
    const free = await made(drawing(inside), {
      fold: 'half',
      card: '120x70mm',
      tool: 'craft-knife',
      foldPicture: 'part',
    });
    expect(codes(free).filter((each) => each.startsWith('opening-'))).toEqual([]);
  });

  it('folds a symmetric drawing back, and tells how symmetric it is', async () => {
    const star = [0, 90, 180, 270]
      .map(
        (turn) => `<path transform="rotate(${turn} 150 150)" d="M150 20L175 80L150 120L125 80Z"/>`,
      )
      .join('');
    const values = await made(drawing(star), { fold: 'eighth', card: '100x100mm' });
    expect(values.read.symmetry?.isWhole).toBe(true);
    expect(values.fold.fold?.symmetry).toBeGreaterThan(0.95);
    expect(values.frame.openings).toHaveLength(4);
    expect(errors(values)).toEqual([]);
  });

  it('tells what stands in some parts of a symmetric drawing only, and where', async () => {
    const petal = 'M150 20L180 75L150 120L120 75Z';
    const petals = [0, 90, 180, 270]
      .map((turn) => `<path transform="rotate(${turn} 150 150)" d="${petal}"/>`)
      .join('');
    const notch = '<path fill="#fff" d="M225 140h20v20h-20z"/>';
    const blot = '<path d="M40 60h20v20h-20z"/>';
    const values = await made(drawing(petals + notch + blot), {
      fold: 'eighth',
      card: '100x100mm',
      foldPicture: 'whole',
    });
    const told = values.check.findings.filter(({ code }) => code === 'evened-out');
    expect(told.map(({ message }) => message)).toEqual([
      expect.stringMatching(/^A dark part of about .* is in 1 of the drawing's 8 parts only/),
      expect.stringMatching(/^A dark part of about .* is missing in 2 of the drawing's 8 parts/),
    ]);
    // What is drawn, 260 units from petal to petal, fills the sheet inside its margin, about its middle.
    const perUnit = (100 - (2 * values.read.pictureBox.x) / values.read.pixelsPerMm) / 260;
    const onSheet = (x: number, y: number): readonly [number, number] => [
      50 + (x - 150) * perUnit,
      50 + (y - 150) * perUnit,
    ];
    const off = ([x, y]: readonly [number, number], [u, v]: readonly [number, number]): number =>
      Math.hypot(x - u, y - v);
    const [blotAt, notchAt] = told.map(({ at }) => at!);
    expect(off(blotAt, onSheet(50, 70))).toBeLessThan(1);
    expect(off(notchAt, onSheet(235, 150))).toBeLessThan(3);
    const whole = await made(drawing(petals), { fold: 'eighth', card: '100x100mm' });
    expect(codes(whole)).not.toContain('evened-out');
  });

  it('takes one part for all where the parts of a drawing are too unlike, so that its leaves stay leaves', async () => {
    // Leaves on a square that lean on along it, as in a wreath: mirrored over one another they are lumps.
    const leaf = (x: number): string =>
      `<path transform="translate(${x} 40) rotate(35)" d="M0 0Q-16 -26 0 -52Q16 -26 0 0Z"/>`;
    const side = [90, 130, 170, 210].map(leaf).join('');
    const wreath = [0, 90, 180, 270]
      .map((turn) => `<g transform="rotate(${turn} 150 150)">${side}</g>`)
      .join('');
    const given = { fold: 'quarter', card: '120x120mm', foldPicture: 'whole' } as const;
    const values = await made(drawing(wreath), given);
    expect(values.fold.fold?.why).toContain('one that is most like the others');
    expect(codes(values)).not.toContain('evened-out');
    // What the packet shows is a part of the drawing, as it is.
    const { bitmap, fold } = values.fold;
    const drawn = values.tone.bitmap;
    const unlike = fold!.pattern.copies.map((copy) => {
      let count = 0;
      for (let y = 0; y < bitmap.height / 2; y++) {
        for (let x = bitmap.width >> 1; x < bitmap.width; x++) {
          const perMm = values.read.pixelsPerMm;
          const image = imageOf(copy, { x: (x + 0.5) / perMm, y: (y + 0.5) / perMm });
          const there = Math.floor(image.y * perMm) * bitmap.width + Math.floor(image.x * perMm);
          if (drawn.data[there] !== bitmap.data[y * bitmap.width + x]) count++;
        }
      }
      return count;
    });
    expect(Math.min(...unlike)).toBe(0);
  });

  it('is no symmetric drawing where half of it is missing', async () => {
    const half = drawing('<path d="M40 40H80V220H260V260H40Z"/>');
    expect(
      await refused(half, {
        fold: 'eighth',
        card: '100x100mm',
        foldPicture: 'whole',
        crop: '0,0,100,100',
      }),
    ).toContain('not symmetric');
  });

  it('holds what a person edits at one place at all its images', async () => {
    const ring = drawing('<path fill-rule="evenodd" d="M20 20H280V280H20ZM90 90V210H210V90Z"/>');
    const given: JobInput = { fold: 'quarter', card: '100x100mm', foldPicture: 'whole' };
    const values = await made(ring, {
      ...given,
      bridgeEdits: [{ do: 'add', from: [50, 5], to: [50, 36] }],
    });
    const added = values.frame.bridges.filter(({ origin }) => origin !== 'proposed');
    expect(added.length).toBeGreaterThanOrEqual(2);
    expect(errors(values)).toEqual([]);
  });

  it('lays no bridge again that a person took away, and says what falls out', async () => {
    const ring = drawing('<path fill-rule="evenodd" d="M20 20H280V280H20ZM90 90V210H210V90Z"/>');
    const given: JobInput = { fold: 'quarter', card: '100x100mm', foldPicture: 'whole' };
    const { frame } = await made(ring, given);
    expect(frame.bridges.length).toBeGreaterThan(0);
    const bridgeEdits = frame.bridges
      .slice(0, 1)
      .map(
        ({ from, to }) =>
          ({ do: 'remove', at: [(from.x + to.x) / 2, (from.y + to.y) / 2] }) as const,
      );
    const values = await made(ring, { ...given, bridgeEdits });
    expect(values.frame.bridges).toEqual([]);
    expect(codes(values)).toContain('removed-bridge-drops-island');
    expect(codes(values)).not.toContain('unused-edit');
  });
});

describe('a sketch of a folded sheet', () => {
  const star = readFileSync(new URL('../../samples/star.svg', import.meta.url));
  const pipeline = createSketchPipeline();

  // Each narrow where it crosses the fold: coarse pixels took that for too narrow to cut, and closed it, so that nothing
  // reached the fold any more.
  it.each(['45,49,90,20', '46,49,90,20', '56,49,90,20', '54,48,90,20'])(
    'has what is cut while the picture is dragged: %s',
    async (foldPlace) => {
      const job = completeJob({ fold: 'half', foldPicture: 'part', fineness: 2.5, foldPlace });
      const { frame, packet } = await pipeline.runFor(stagesToSketch, star, job);
      const open = frame.openings.reduce(
        (sum, { outer }) => sum + Math.abs(signedArea(flatten(outer))),
        0,
      );
      const inPacket = packet!.packetCuts.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
      expect(open).toBeGreaterThan(1500);
      expect(open).toBeCloseTo(2 * inPacket, -1);
    },
  );
});

describe('a fold that can’t be', () => {
  it.each<[string, JobInput, RegExp]>([
    ['a hot tip', { fold: 'half', tool: 'hot-tip' }, /melts the layers/],
    ['more layers than allowed', { fold: 'eighth', mostLayers: '4' }, /8 layers over one another/],
    [
      'a wedge too small',
      { fold: 'eighth', card: '25x25mm', margin: 3 },
      /too small|no room|too wide/,
    ],
    ['an eighth of no square', { fold: 'eighth', card: '5x7in' }, /square/],
    [
      'panels too narrow',
      { fold: 'to-and-fro', foldPanels: '8', card: '4x4in' },
      /wide inside its margin/,
    ],
    [
      'a frame in odd panels',
      { fold: 'to-and-fro', foldPanels: '3', card: '9x4in' },
      /no fold that a cut can start from/,
    ],
    ['a motif', { fold: 'half', repeat: 'straight' }, /as a motif/],
    ['register marks', { fold: 'half', registerMarks: true }, /Register marks/],
  ])('is refused in a sentence: %s', (_, given, says) => {
    expect(() => completeJob(given)).toThrow(says);
  });

  it.each<[string, JobInput, RegExp]>([
    [
      'the picture lies outside the packet',
      { foldPlace: '-400,50,20,0' },
      /Nothing dark of the picture lies in the packet/,
    ],
    ['a crop outside', { crop: '90,90,50,50' }, /leaves the picture/],
    ['a size of nothing', { foldPlace: '50,50,0,0' }, /can't be laid/],
  ])('is refused in a sentence: %s', async (_, given, says) => {
    const picture = drawing('<circle cx="150" cy="150" r="100"/>');
    expect(await refused(picture, { fold: 'half', card: '80x60mm', ...given })).toMatch(says);
  });

  it('leaves nothing where no opening can be reached', async () => {
    const dots = '<circle cx="100" cy="100" r="4"/><circle cx="200" cy="200" r="4"/>';
    expect(
      await refused(drawing(dots), {
        fold: 'half',
        card: '120x70mm',
        foldPlace: '50,50,60,0',
        foldPicture: 'part',
      }),
    ).toMatch(/no opening comes to a fold or an open edge of the packet, where scissors can begin/);
  });
});
