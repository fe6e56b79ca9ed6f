import type { Eased } from '../ease/ease.js';
import type { Bridged } from './bridge.js';

/** The openings as they are, where the film hangs together without bridges. */
export function unbridged({ shapes }: Pick<Eased, 'shapes'>): Bridged {
  return {
    openings: shapes,
    bridges: [],
    islands: 0,
    openingsDropped: 0,
    islandsDropped: 0,
    islandsDear: 0,
    laidOver: shapes,
    shareChanged: 0,
    removed: [],
    unusedEdits: [],
  };
}
