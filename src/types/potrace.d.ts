/**
 * The parts of potrace 2.1.8 that trace.ts uses: it has no types of its own, and these are its inner parts (a
 * bitmap and its paths can only be handed over through them).
 */
declare module 'potrace/lib/Potrace.js' {
  export interface PotracePoint {
    readonly x: number;
    readonly y: number;
  }

  /** Piece i ends at c[3 i + 2]. A CURVE has its controls at c[3 i], c[3 i + 1]; a CORNER its vertex at c[3 i + 1]. */
  export interface PotraceCurve {
    readonly n: number;
    readonly tag: readonly ('CURVE' | 'CORNER')[];
    readonly c: readonly PotracePoint[];
  }

  export interface PotracePath {
    pt: PotracePoint[];
    len: number;
    area: number;
    sign: '+' | '-';
    curve?: PotraceCurve;
  }

  export default class Potrace {
    _pathlist: PotracePath[];
    _processPath(): void;
  }
}
