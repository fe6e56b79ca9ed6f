import { describe, expect, it } from 'vitest';
import {
  completeJob,
  createPipeline,
  type Bridge,
  type JobInput,
  type StencilRun,
} from '../../src/index.js';

/** Two rings on a card of 80 mm, with a margin of 6 mm: 1 unit of the drawing is 1 mm of the card, 6 mm further on. */
const picture = (rings: string): Buffer =>
  Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="68" height="68" viewBox="0 0 68 68">
      <rect width="68" height="68" fill="#fff"/><g fill="none" stroke="#000" stroke-width="5">${rings}</g></svg>`,
  );
const LEFT = '<circle cx="16" cy="34" r="12"/>';
const RIGHT = '<circle cx="50" cy="34" r="12"/>';
const rings = picture(LEFT + RIGHT);

/** One bridge an island, so that it is plain which one an edit is about. */
const ONE_EACH: JobInput = { bridgeAmount: 'fewer' };

const make = async (given: JobInput, source = rings): Promise<StencilRun> =>
  createPipeline().run(
    source,
    completeJob({ card: '80x80mm', margin: 6, tone: 'auto', smoothing: 0, ...ONE_EACH, ...given }),
  );
const bridgesOf = ({ values }: StencilRun): readonly Bridge[] => values.bridge.bridges;
const findingsOf = ({ values }: StencilRun): readonly (readonly [string, string])[] =>
  values.check.findings.map(({ level, code }) => [level, code] as const);
const middle = ({ from, to }: Bridge): [number, number] => [
  (from.x + to.x) / 2,
  (from.y + to.y) / 2,
];
/** Where a bridge lies, seen from the middle of the ring that it crosses. */
const isNear = (bridge: Bridge, x: number, y: number): boolean =>
  Math.hypot(middle(bridge)[0] - x, middle(bridge)[1] - y) < 1;

describe('a bridge that is added', () => {
  it('is laid where it was asked for, and holds the island instead of one that is proposed', async () => {
    const run = await make({ bridgeEdits: [{ do: 'add', from: [22, 31], to: [22, 25] }] });
    const inLeft = bridgesOf(run).filter((bridge) => middle(bridge)[0] < 40);
    expect(inLeft).toEqual([
      expect.objectContaining({ origin: 'added', widthMm: 2.4 }) as unknown as Bridge,
    ]);
    expect(isNear(inLeft[0], 22, 28)).toBe(true);
    expect(findingsOf(run)).toEqual([]);
  });

  it('has the width that was asked for', async () => {
    const run = await make({
      bridgeEdits: [{ do: 'add', from: [22, 31], to: [22, 25], widthMm: 4 }],
    });
    expect(bridgesOf(run).map(({ widthMm }) => widthMm)).toContain(4);
  });

  it('is kept and reported when it touches no opening any more', async () => {
    const bridgeEdits = [{ do: 'add', from: [22, 31], to: [22, 25] }] as const;
    const run = await make({ bridgeEdits }, picture(RIGHT));
    expect(findingsOf(run)).toEqual([['warning', 'unused-edit']]);
    expect(run.values.check.findings[0].at).toEqual([22, 28]);
    expect(bridgesOf(run).every(({ origin }) => origin === 'proposed')).toBe(true);
  });
});

describe('a bridge that is pinned', () => {
  it('stays as it lies when the picture grows darker', async () => {
    const [first] = bridgesOf(await make({}));
    const pin = {
      do: 'pin',
      from: [first.from.x, first.from.y],
      to: [first.to.x, first.to.y],
    } as const;
    const wider = picture(LEFT.replace('/>', ' stroke-width="7"/>') + RIGHT);
    const run = await make({ bridgeEdits: [pin] }, wider);
    const pinned = bridgesOf(run).find(({ origin }) => origin === 'pinned');
    expect(pinned && isNear(pinned, ...middle(first))).toBe(true);
    expect(findingsOf(run)).toEqual([]);
  });
});

describe('a bridge that is taken away', () => {
  it('is refused by check, in words, when its island would fall', async () => {
    const before = bridgesOf(await make({}));
    const bridgeEdits = before.map((one) => ({ do: 'remove', at: middle(one) }) as const);
    const run = await make({ bridgeEdits });
    expect(bridgesOf(run)).toEqual([]);
    const codes = findingsOf(run).map(([, code]) => code);
    expect(codes).toContain('removed-bridge-drops-island');
    expect(codes.filter((code) => code === 'loose-island')).toHaveLength(2);
    const refusal = run.values.check.findings.find(
      ({ code }) => code === 'removed-bridge-drops-island',
    );
    expect(refusal?.message).toMatch(/Put it back, or add one elsewhere/);
  });

  it('gives way to another that is added', async () => {
    const before = bridgesOf(await make({})).filter((bridge) => middle(bridge)[0] < 40);
    const run = await make({
      bridgeEdits: [
        ...before.map((one) => ({ do: 'remove', at: middle(one) }) as const),
        { do: 'add', from: [22, 49], to: [22, 55] },
      ],
    });
    const inLeft = bridgesOf(run).filter((bridge) => middle(bridge)[0] < 40);
    expect(inLeft.map(({ origin }) => origin)).toEqual(['added']);
    expect(findingsOf(run).filter(([level]) => level === 'error')).toEqual([]);
  });

  it('is told when there is no opening at its place any more', async () => {
    const run = await make({ bridgeEdits: [{ do: 'remove', at: [40, 70] }] });
    expect(findingsOf(run)).toEqual([['warning', 'unused-edit']]);
  });
});

describe('a bridge that is moved', () => {
  it('lies in its new place, and none in its old', async () => {
    const [first] = bridgesOf(await make({})).filter((bridge) => middle(bridge)[0] < 40);
    const to = middle(first)[1] > 40 ? ([22, 31, 25] as const) : ([22, 49, 55] as const);
    const run = await make({
      bridgeEdits: [{ do: 'move', at: middle(first), from: [to[0], to[1]], to: [to[0], to[2]] }],
    });
    const inLeft = bridgesOf(run).filter((bridge) => middle(bridge)[0] < 40);
    expect(inLeft.some(({ origin }) => origin === 'moved')).toBe(true);
    expect(inLeft.some((bridge) => isNear(bridge, ...middle(first)))).toBe(false);
    expect(findingsOf(run).filter(([level]) => level === 'error')).toEqual([]);
  });
});

describe('a part that is kept free of bridges', () => {
  it('has none in it', async () => {
    const [first] = bridgesOf(await make({}));
    const [x, y] = middle(first);
    const area = [
      [x - 5, y - 5],
      [x + 5, y - 5],
      [x + 5, y + 5],
      [x - 5, y + 5],
    ] as const;
    const run = await make({ bridgeFree: [area] });
    for (const bridge of bridgesOf(run)) {
      const [bx, by] = middle(bridge);
      expect(Math.max(Math.abs(bx - x), Math.abs(by - y))).toBeGreaterThan(5);
    }
    expect(findingsOf(run)).toEqual([]);
  });

  it('that holds all of an island lets it fall, and check says why', async () => {
    const all = [
      [0, 0],
      [80, 0],
      [80, 80],
      [0, 80],
    ] as const;
    const run = await make({ bridgeFree: [all] });
    expect(bridgesOf(run)).toEqual([]);
    expect(run.values.check.findings.map(({ message }) => message).join(' ')).toMatch(
      /free of bridges/,
    );
  });
});

describe('a region', () => {
  it('that is dropped becomes what is round it', async () => {
    const run = await make({
      regionEdits: [
        { do: 'drop', at: [22, 40] },
        { do: 'drop', at: [44, 40] },
      ],
    });
    // The island of the left ring is opening, the right ring is film.
    const [area] = run.values.check.openings.map(({ areaMm2 }) => areaMm2);
    expect(run.values.check.openings).toHaveLength(1);
    expect(Math.abs(area - Math.PI * 14.5 ** 2)).toBeLessThan(8);
    expect(bridgesOf(run)).toEqual([]);
    expect(findingsOf(run)).toEqual([]);
  });

  it('that is the film itself cannot be dropped, and check says so', async () => {
    const run = await make({ regionEdits: [{ do: 'drop', at: [8, 8] }] });
    expect(findingsOf(run)).toEqual([['warning', 'unused-edit']]);
  });

  it('that is kept is made large enough to cut or to hold', async () => {
    const specks = picture(
      '<circle cx="34" cy="10" r="0.6" stroke="none" fill="#000"/><circle cx="16" cy="34" r="12" fill="#000"/><circle cx="16" cy="34" r="0.5" stroke="none" fill="#fff"/>',
    );
    const without = await make({}, specks);
    expect(without.values.bridge.islands).toBe(0);
    expect(without.values.check.openings).toHaveLength(1);
    const run = await make(
      {
        regionEdits: [
          { do: 'keep', at: [40, 16] },
          { do: 'keep', at: [22, 40] },
        ],
      },
      specks,
    );
    expect(run.values.bridge.islands).toBe(1);
    expect(run.values.check.openings.map(({ areaMm2 }) => areaMm2 < 6)).toContain(true);
    expect(findingsOf(run).filter(([level]) => level !== 'note')).toEqual([]);
  });
});
