import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  Clipper64,
  ClipType,
  FillRule,
  Path64,
  Paths64,
  PathType,
} from '../src/built-in/clipper2.js';
import { Potrace } from '../src/built-in/potrace.js';
import { scanQueue } from '../src/geometry/scan-queue.js';
import { home } from './support/built.js';

/*
 * Of two packages more is used than they offer. What is reached into is held here, so that another version that is
 * otherwise inside does not pass unseen.
 */

interface Manifest {
  readonly version: string;
  readonly devDependencies: Readonly<Record<string, string>>;
}

function manifest(folder: string): Manifest {
  return JSON.parse(readFileSync(join(home, folder, 'package.json'), 'utf8')) as Manifest;
}

describe.each(['potrace', 'clipper2-js'])('%s', (name) => {
  it('is pinned to one version, which is installed', () => {
    const pinned = manifest('.').devDependencies[name];
    expect(pinned, `package.json must name one version of ${name}, not a range`).toMatch(
      /^\d+\.\d+\.\d+$/,
    );
    expect(manifest(`node_modules/${name}`).version).toBe(pinned);
  });
});

describe('what src/stages/trace/trace.ts reaches into', () => {
  const changed = (what: string) =>
    `potrace is otherwise inside than trace.ts expects: ${what}. Look up how this version keeps its paths.`;

  it('is a list of paths, empty at first, and the function that makes their curves', () => {
    const tracer = new Potrace();
    expect(tracer._pathlist, changed('a new tracer has no empty list _pathlist')).toEqual([]);
    expect(
      Reflect.get(tracer, '_processPath'),
      changed('there is no function _processPath'),
    ).toBeTypeOf('function');
  });

  it('makes the curve of a path that was put into the list', () => {
    const tracer = new Potrace();
    const square = [0, 8, 8, 0].map((x, i) => ({ x, y: i < 2 ? 0 : 8 }));
    // Along the pixels' sides, one step a side of a pixel.
    const pt = square.flatMap(({ x, y }, i) => {
      const next = square[(i + 1) % 4];
      return Array.from({ length: 8 }, (_, k) => ({
        x: x + Math.sign(next.x - x) * k,
        y: y + Math.sign(next.y - y) * k,
      }));
    });
    tracer._pathlist = [{ pt, len: pt.length, area: 64, sign: '+' }];
    tracer._processPath();
    const { curve } = tracer._pathlist[0];
    const vertices = [0, 1, 2, 3].map((i) => curve?.c[3 * i + 1]);
    expect(curve?.tag, changed('a square has no four corners')).toEqual(Array(4).fill('CORNER'));
    expect(
      vertices.map((at) => `${at?.x} ${at?.y}`).sort(),
      changed('corners lie elsewhere'),
    ).toEqual(['0 0', '0 8', '8 0', '8 8']);
  });
});

describe('what src/geometry/boolean-operations.ts reaches into', () => {
  const changed = (what: string) =>
    `clipper2-js is otherwise inside than boolean-operations.ts expects: ${what}. Look up how this version keeps its scan lines.`;

  interface Inside {
    readonly _scanlineList: object;
  }

  const inside = (clipper: Clipper64) => clipper as unknown as Inside;

  const star = (turn: number) =>
    Path64.from(
      Array.from({ length: 40 }, (_, i) => {
        const angle = turn + (i * 17 * Math.PI) / 20;
        return { x: Math.round(1e5 * Math.cos(angle)), y: Math.round(1e5 * Math.sin(angle)) };
      }),
    );

  function united(clipper: Clipper64): { x: number; y: number }[][] {
    const given = new Paths64();
    given.push(star(0), star(0.3));
    clipper.addPaths(given, PathType.Subject);
    const solution = new Paths64();
    expect(clipper.execute(ClipType.Union, FillRule.EvenOdd, solution)).toBe(true);
    return Array.from(solution, (path) => Array.from(path, ({ x, y }) => ({ x, y })));
  }

  it('is a list of scan lines with the calls that the queue has', () => {
    const list = inside(new Clipper64())._scanlineList as object | undefined;
    expect(list, changed('there is no _scanlineList')).toBeTypeOf('object');
    const calls = Object.getOwnPropertyNames(Object.getPrototypeOf(list));
    expect(
      calls.filter((name) => name !== 'constructor').sort(),
      changed('its _scanlineList has other calls than the queue that takes its place'),
    ).toEqual(Object.keys(scanQueue()).sort());
  });

  it('is asked for every scan line, and the queue in its place changes no result', () => {
    const queue = scanQueue();
    let taken = 0;
    const counted = {
      ...queue,
      pollLast() {
        taken++;
        return queue.pollLast();
      },
    };
    const clipper = new Clipper64();
    Object.assign(clipper, { _scanlineList: counted });
    const result = united(clipper);
    expect(taken, changed('the list in the place of _scanlineList is not asked')).toBeGreaterThan(
      40,
    );
    expect(result.length).toBeGreaterThan(1);
    expect(result).toEqual(united(new Clipper64()));
  });
});
