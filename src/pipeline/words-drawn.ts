import type { Bridged } from '../stages/bridge/bridge.js';
import type { DesignedBridge } from '../stages/bridge/designed-bridge.js';
import type { Finding } from '../stages/check/finding.js';
import type { Eased } from '../stages/ease/ease.js';
import type { FacesKept } from '../stages/features/features.js';
import type { Lettering } from '../stages/lettering/lettering.js';
import type { Widened } from '../stages/widen/widen.js';

/** What a source of words holds besides a told tone: their openings, drawn, and what is laid beside them. */
export interface WordsDrawn {
  readonly lettering: Lettering;
  readonly bridges: readonly DesignedBridge[];
  readonly findings: readonly Finding[];
  /** A picture, or what is painted under words, at its place on the sheet, as far as its bridges. */
  readonly beside: readonly {
    readonly ease: Eased;
    readonly bridge: Bridged;
    readonly widened: Widened;
    readonly features: FacesKept | null;
  }[];
}
