import type { Sheet } from '../../settings/card.js';
import { imageOf, type FoldPattern } from '../../geometry/fold-pattern.js';
import type { Point } from '../../geometry/shape.js';

/** A line to fold along: a valley lies in front of you, a mountain behind. */
interface CreaseLine {
  readonly from: Point;
  readonly to: Point;
  readonly is: 'valley' | 'mountain';
}

/** One step of folding: the sheet as it lies, where to fold it, and what moves where. In mm on the sheet. */
export interface FoldingStep {
  readonly outline: readonly Point[];
  readonly folds: readonly CreaseLine[];
  readonly arrow?: { readonly from: Point; readonly to: Point };
  readonly says: string;
}

/** Where arrows begin and end, as shares of the sheet: across it; over the diagonal; and of its shorter side round its middle. */
const FAR = { near: 0.2, far: 0.8, right: 0.75 } as const;
const DIAGONAL = { from: { x: 0.9, y: 0.38 }, to: { x: 0.62, y: 0.1 } } as const;
const THIRDS = 0.33;
/** A strip is cut to length where it is so much shorter than the sheet, in mm; and what is 0 but for rounding. */
const TRIMMED_MM = 0.01;
const ROUNDING = 1e-9;

/** How a sheet becomes the packet; the last step shows the packet itself, to be laid under the template. */
export function foldingSteps(pattern: FoldPattern, sheet: Sheet): FoldingStep[] {
  const { widthMm: w, heightMm: h } = sheet;
  const size = (a: number, b: number): string => `${tenthsOfMm(a)} × ${tenthsOfMm(b)} mm`;
  const whole = rectangle(0, 0, w, h);
  const last = (says: string): FoldingStep => ({ outline: pattern.outline, folds: [], says });
  const left: FoldingStep = {
    outline: whole,
    folds: [{ from: { x: w / 2, y: 0 }, to: { x: w / 2, y: h }, is: 'valley' }],
    arrow: { from: { x: w * FAR.near, y: h / 2 }, to: { x: w * FAR.far, y: h / 2 } },
    says: `Cut the sheet to ${size(w, h)}. Fold it in half, left edge onto right edge: ${size(w / 2, h)}, 2 layers.`,
  };
  const up: FoldingStep = {
    outline: rectangle(w / 2, 0, w / 2, h),
    folds: [{ from: { x: w / 2, y: h / 2 }, to: { x: w, y: h / 2 }, is: 'valley' }],
    arrow: {
      from: { x: w * FAR.right, y: h * FAR.far },
      to: { x: w * FAR.right, y: h * FAR.near },
    },
    says: `In half again, lower edge onto upper edge: ${size(w / 2, h / 2)}, 4 layers.`,
  };
  switch (pattern.kind) {
    case 'half':
      return [
        {
          ...left,
          arrow: { from: { x: w * FAR.far, y: h / 2 }, to: { x: w * FAR.near, y: h / 2 } },
          says: `Cut the sheet to ${size(w, h)}. Fold it in half, right edge onto left edge: ${size(w / 2, h)}, 2 layers.`,
        },
        last('The packet: the fold on the right, the open edges on the left.'),
      ];
    case 'quarter':
      return [
        left,
        up,
        last('The packet: folds on the left and below, open edges above and on the right.'),
      ];
    case 'eighth':
      return [
        left,
        up,
        {
          outline: rectangle(w / 2, 0, w / 2, h / 2),
          folds: [{ from: { x: w / 2, y: h / 2 }, to: { x: w, y: 0 }, is: 'valley' }],
          arrow: {
            from: { x: w * DIAGONAL.from.x, y: h * DIAGONAL.from.y },
            to: { x: w * DIAGONAL.to.x, y: h * DIAGONAL.to.y },
          },
          says: 'On the diagonal, from the closed corner, the sheet’s middle, outwards: 8 layers. Fold it no further.',
        },
        last('The packet: both long sides are folds, the open edges lie above.'),
      ];
    case 'sixth':
      return [
        left,
        ...thirds(whole, sheet),
        last('The packet: both long sides are folds, the open edges lie above. Trim them even.'),
      ];
    case 'to-and-fro':
      return [
        ...pleats(pattern, sheet),
        last('The packet: press it flat, and hold its layers with two clips.'),
      ];
  }
}

/** The half sheet in three parts of 60°, one over another, and then in half. */
function thirds(whole: readonly Point[], { widthMm, heightMm }: Sheet): FoldingStep[] {
  const centre = { x: widthMm / 2, y: heightMm / 2 };
  const sector = (to: number): readonly Point[] =>
    cutBy(cutBy(whole, centre, 0, 1), centre, to, -1);
  const ray = (degrees: number): CreaseLine => ({
    from: centre,
    to: edge(whole, centre, degrees),
    is: 'valley',
  });
  const at = (degrees: number): Point => {
    const reach = Math.min(widthMm, heightMm) * THIRDS;
    const turn = (degrees * Math.PI) / 180;
    return { x: centre.x + reach * Math.sin(turn), y: centre.y - reach * Math.cos(turn) };
  };
  return [
    {
      outline: sector(180),
      folds: [ray(120)],
      arrow: { from: at(155), to: at(88) },
      says: 'From the middle of the folded edge: turn the lower third up over the middle one, at an angle of 60°. 4 layers where they meet.',
    },
    {
      outline: sector(120),
      folds: [ray(60)],
      arrow: { from: at(95), to: at(28) },
      says: 'Turn both up over the upper third: three parts of 60° one over another, 6 layers.',
    },
    {
      outline: sector(60),
      folds: [ray(30)],
      arrow: { from: at(50), to: at(10) },
      says: 'In half from the tip: a wedge of 30°, 12 layers. Use thin sheet alone, and short strong blades.',
    },
  ];
}

function pleats(pattern: FoldPattern, { widthMm, heightMm }: Sheet): FoldingStep[] {
  const { from, to, copies, layers } = pattern;
  const long = to.x - from.x;
  const wide = long / layers;
  const trimmed = long < widthMm - TRIMMED_MM;
  const fold = pattern.outline[1].x;
  const folds = copies.slice(0, -1).map((copy, i): CreaseLine => {
    const x =
      i % 2 === 0 ? imageOf(copy, { x: fold, y: 0 }).x : imageOf(copy, pattern.outline[0]).x;
    return { from: { x, y: 0 }, to: { x, y: heightMm }, is: i % 2 === 0 ? 'valley' : 'mountain' };
  });
  return [
    {
      outline: rectangle(from.x, 0, long, heightMm),
      folds,
      says: `${trimmed ? 'Cut a strip' : 'Take a strip'} of ${tenthsOfMm(long)} × ${tenthsOfMm(heightMm)} mm. Mark every ${tenthsOfMm(wide)} mm and fold it to and fro: valley (dashes), mountain (dashes and dots), in turn: ${layers} panels.`,
    },
  ];
}

function rectangle(x: number, y: number, w: number, h: number): readonly Point[] {
  return [
    { x, y },
    { x: x + w, y },
    { x: x + w, y: y + h },
    { x, y: y + h },
  ];
}

/** What of a convex polygon lies on one side of a ray's line from a centre; degrees from straight up, clockwise. */
function cutBy(
  polygon: readonly Point[],
  centre: Point,
  degrees: number,
  side: 1 | -1,
): readonly Point[] {
  const turn = (degrees * Math.PI) / 180;
  const off = ({ x, y }: Point): number =>
    side * ((x - centre.x) * Math.cos(turn) + (y - centre.y) * Math.sin(turn));
  return polygon.flatMap((from, i) => {
    const to = polygon[(i + 1) % polygon.length];
    const [a, b] = [off(from), off(to)];
    const own = a >= 0 ? [from] : [];
    if (a >= 0 === b >= 0) return own;
    const t = a / (a - b);
    return [...own, { x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y) }];
  });
}

/** Where a ray from inside a convex polygon leaves it. */
function edge(polygon: readonly Point[], centre: Point, degrees: number): Point {
  const turn = (degrees * Math.PI) / 180;
  const [dx, dy] = [Math.sin(turn), -Math.cos(turn)];
  let reach = Infinity;
  polygon.forEach((from, i) => {
    const to = polygon[(i + 1) % polygon.length];
    const [ex, ey] = [to.x - from.x, to.y - from.y];
    const det = dx * ey - dy * ex;
    if (Math.abs(det) < ROUNDING) return;
    const t = ((from.x - centre.x) * ey - (from.y - centre.y) * ex) / det;
    if (t > ROUNDING) reach = Math.min(reach, t);
  });
  return { x: centre.x + reach * dx, y: centre.y + reach * dy };
}

const tenthsOfMm = (mm: number): string => String(Math.round(mm * 10) / 10);
