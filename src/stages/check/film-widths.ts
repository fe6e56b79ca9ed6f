import { regionOf } from '../../raster/labels.js';
import type { Bridged } from '../bridge/bridge.js';
import { isCrumb, isSheetEdge, neckMiddle, pixelTold, saidWidth, type Redrawn } from './drawn.js';
import type { Finding } from './finding.js';

/** Promise 1: the film is one piece. Every region of film but the frame's is an island, so is every hole. */
export function looseIslands(drawn: Redrawn): Finding[] {
  const { film, shapes, pixelsPerMm } = drawn;
  const regions = [...film.first]
    .filter(
      (_, label) => label > 0 && label !== drawn.root && !isCrumb(film.areas[label], pixelsPerMm),
    )
    .map((i) => pixelTold(i, drawn));
  const holes = shapes.flatMap(({ outer, holes }) =>
    (isSheetEdge(outer, drawn.sheet) ? holes.slice(1) : holes).map(
      ({ coords }): readonly [number, number] => [coords[0], coords[1]],
    ),
  );
  return (holes.length > regions.length ? holes : regions).map((at) => ({
    level: 'error',
    code: 'loose-island',
    message:
      drawn.job.bridgeFree.length === 0
        ? 'An island of film has no hold: it would fall out.'
        : 'An island of film has no hold: it would fall out. Perhaps it lies in a part that you keep free of bridges.',
    at,
  }));
}

/** The bridges that a person took away without which the film at one of their ends falls out. */
export function droppedByRemoval(drawn: Redrawn, { removed }: Bridged): Finding[] {
  const regionAt = ({ x, y }: { readonly x: number; readonly y: number }): number => {
    const { bitmap, film, pixelsPerMm } = drawn;
    return regionOf(film, Math.floor(y * pixelsPerMm) * bitmap.width + Math.floor(x * pixelsPerMm));
  };
  return removed
    .filter(({ start, end }) => regionAt(start) !== regionAt(end))
    .map(({ at, moved }) => ({
      level: 'error',
      code: 'removed-bridge-drops-island',
      message: moved
        ? 'The bridge that you moved from here no longer holds its island, which would fall out. Move it to where it meets film at both ends, or add another.'
        : 'Without the bridge that you took away here an island would fall out. Put it back, or add one elsewhere.',
      at: [at.x, at.y],
    }));
}

/** Promise 2: no hold of the film is narrower than the narrowest strip. */
export function weakHolds({ necks, job }: Redrawn): Finding[] {
  return necks
    .filter(({ region }) => region === 'film')
    .map((neck) => ({
      level: 'error',
      code: 'weak-hold',
      message: neck.allOver
        ? `The film is nowhere wider than ${saidWidth(neck)}, and has to be ${job.narrowestStrip} mm.`
        : `The film is held here by a strip of ${saidWidth(neck)}, narrower than ${job.narrowestStrip} mm.`,
      at: neckMiddle(neck),
    }));
}
