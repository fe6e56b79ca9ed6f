/** How a sheet is folded before it is cut. */
export type FoldKind = 'none' | 'half' | 'quarter' | 'eighth' | 'sixth' | 'to-and-fro';

/** What of a job says how the sheet is folded. */
export interface FoldSettings {
  readonly fold: FoldKind;
  /** With to-and-fro: how many panels, as a number in letters. */
  readonly foldPanels: string;
}

/** How often a fold of this kind lays the sheet over itself. */
const LAYERS: Readonly<Record<Exclude<FoldKind, 'to-and-fro'>, number>> = {
  none: 1,
  half: 2,
  quarter: 4,
  eighth: 8,
  sixth: 12,
};

/** How many layers lie over one another in the packet. */
export function layersOf({ fold, foldPanels }: FoldSettings): number {
  return fold === 'to-and-fro' ? Number(foldPanels) : LAYERS[fold];
}

/** Scissors go through so many layers of thin sheet without trouble. Common practice, no source. */
export const EASY_LAYERS = 8;

/**
 * How much longer the outer layer of a packet comes out than the inner one, in mm: at a fold each layer goes round the
 * ones inside it, half a turn (π) on a radius that grows by a thickness a layer, and half of that is on either side.
 * Common practice, no source.
 */
export function creepMm(layers: number, thicknessMm: number): number {
  return layers <= 1 ? 0 : (thicknessMm * layers * Math.PI) / 2;
}

/** The card of a folded sheet unless one is given: a square that folds to a wedge a hand can hold. Common practice, no source. */
export const FOLDED_CARD = '6x6in';

/** Mm at no layer and more a layer: the narrowest slot, the tightest turn. Common practice, from memory, no source. */
const SLOT = { one: 2, more: 0.1 } as const;
const TURN = { one: 1.2, more: 0.1 } as const;
/** The narrowest strip without creep, and how much wider a bridge is, in mm. The same. */
const STRIP_MM = 2;
const BRIDGE_MORE_MM = 0.6;
/** What a blade takes, in mm: nothing to speak of. */
const BLADE_MM = 0.1;

/**
 * The limits of scissors, in mm and mm²; the more layers, the wider. Common practice, from memory, no published source.
 *
 * A slot has to let one blade in, and a strip of the outermost layer is off by half the creep. A blade turns no tighter
 * than the stack lets it.
 */
export function scissorsLimits(layers: number, thicknessMm: number) {
  const strip = tenths(STRIP_MM + creepMm(layers, thicknessMm) / 2);
  return {
    meltWidth: BLADE_MM,
    narrowestOpening: tenths(SLOT.one + SLOT.more * layers),
    narrowestStrip: strip,
    bridgeWidth: tenths(strip + BRIDGE_MORE_MM),
    tightestTurn: tenths(TURN.one + TURN.more * layers),
    smallestOpening: 6,
    smallestIsland: 20,
    cuttingSpeed: 120,
    warmUp: 0,
  } as const;
}

const tenths = (mm: number): number => Math.round(mm * 10) / 10;
