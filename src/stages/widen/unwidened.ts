import type { Bitmap } from '../../raster/raster.js';
import type { Widened } from './widen.js';

/** A bitmap as it is, where nothing in it can be made wider: what is drawn has the width that it is drawn with. */
export function unwidened(bitmap: Bitmap): Widened {
  return {
    bitmap,
    specksDropped: 0,
    islandsDropped: 0,
    lightPartsGrown: 0,
    lightPartsJoined: 0,
    linesMerged: 0,
    linesThinned: 0,
    linesLost: [],
    unusedEdits: [],
  };
}
