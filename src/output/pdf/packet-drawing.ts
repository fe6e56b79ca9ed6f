import type { Point } from '../../geometry/shape.js';
import type { Packet, PacketCut } from '../../stages/packet/packet.js';
import { BOLD, write } from './text.js';
import { HAIRLINE_MM, HELP, INK, LINE_MM, POINTS_PER_MM, SOFT_INK, type Pdf } from './print.js';

const PALE = '#e9e9ec';
/** A fold on the packet: heavier than a cut, and long dashes, so that neither is taken for the other. In mm, by eye. */
const FOLD = { lineMm: 0.6, dashMm: 6, gapMm: 1.4 } as const;
/** An open edge: a thin line of dots. */
const OPEN = { lineMm: 0.5, dashMm: 0.5, gapMm: 1.6 } as const;
/** The arrow of the blade: its length outside the packet and inside, and its head, in mm. By eye. */
const ARROW = { outMm: 5, headMm: 1.8, lineMm: 0.35 } as const;
/** Half the width of an arrow's head, as a share of its length. */
const HEAD_HALF = 0.4;
/** From a side of the packet to the word along it, in mm outwards, and its points. */
const [WORD_OFF_MM, WORD_POINTS] = [2.2, 8];
/** Type of a cut's number: points, and mm from its baseline up to its middle. */
const [NUMBER_POINTS, NUMBER_RISE_MM] = [8, 1];

const WORDS = {
  fold: 'fold',
  open: 'open edges',
  'folds-and-end': 'folds, and the loose end',
} as const;

/** The packet in mm where it lies on the sheet: pieces pale, cuts dark, folds and open edges each by their own line. */
export function drawPacket(pdf: Pdf, packet: Packet): void {
  for (const { region } of packet.packetCuts) {
    for (const loop of [region.outer, ...region.holes]) polygon(pdf, loop);
    pdf.fill(PALE, 'even-odd');
  }
  for (const { lines } of packet.packetCuts) for (const line of lines) polyline(pdf, line);
  if (packet.packetCuts.length > 0) pdf.lineWidth(LINE_MM).lineJoin('round').stroke(INK);
  for (const { from, to, is } of packet.pattern.sides) {
    const { lineMm, dashMm, gapMm } = is === 'open' ? OPEN : FOLD;
    pdf.moveTo(from.x, from.y).lineTo(to.x, to.y).lineWidth(lineMm).lineCap('butt');
    pdf
      .dash(dashMm, { space: gapMm })
      .stroke(is === 'open' ? SOFT_INK : INK)
      .undash();
  }
}

/** Arrows where the blade enters. */
export function drawEntries(pdf: Pdf, { packetCuts: cuts }: Packet): void {
  for (const { entries } of cuts) {
    for (const { at, along } of entries) {
      const tail = { x: at.x - ARROW.outMm * along.x, y: at.y - ARROW.outMm * along.y };
      pdf.moveTo(tail.x, tail.y).lineTo(at.x, at.y).lineWidth(ARROW.lineMm).stroke(HELP);
      head(pdf, at, along);
    }
  }
}

/** An arrow's head whose tip is at a place. */
export function head(pdf: Pdf, at: Point, along: Point, sizeMm: number = ARROW.headMm): void {
  const back = { x: at.x - sizeMm * along.x, y: at.y - sizeMm * along.y };
  const [sx, sy] = [-along.y * sizeMm * HEAD_HALF, along.x * sizeMm * HEAD_HALF];
  pdf
    .moveTo(at.x, at.y)
    .lineTo(back.x + sx, back.y + sy)
    .lineTo(back.x - sx, back.y - sy);
  pdf.closePath().fill(HELP);
}

/** The words along the packet's sides and the numbers of its cuts; places in mm, in points (see `SheetDrawing`). */
export function writePacket(pdf: Pdf, packet: Packet): void {
  const middle = meanPoint(packet.pattern.outline);
  for (const { from, to, is } of packet.pattern.sides) {
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const [ux, uy] = [(to.x - from.x) / length, (to.y - from.y) / length];
    const along = wordPlace(packet, from, to);
    const half = { x: from.x + along * (to.x - from.x), y: from.y + along * (to.y - from.y) };
    const isOut = (half.x - middle.x) * uy - (half.y - middle.y) * ux > 0;
    const [nx, ny] = isOut ? [uy, -ux] : [-uy, ux];
    let degrees = (Math.atan2(uy, ux) * 180) / Math.PI;
    if (degrees > 91 || degrees <= -89) degrees += 180;
    const at = { x: half.x + nx * WORD_OFF_MM, y: half.y + ny * WORD_OFF_MM };
    drawRotated(pdf, at, degrees, () =>
      write(pdf, {
        text: WORDS[is],
        x: at.x,
        baseline: at.y + NUMBER_RISE_MM,
        points: WORD_POINTS,
        font: BOLD,
        colour: is === 'open' ? SOFT_INK : INK,
      }),
    );
  }
  for (const cut of packet.packetCuts) {
    const { x, y } = pointInside(cut);
    write(pdf, {
      text: String(cut.number),
      x,
      baseline: y + NUMBER_RISE_MM,
      points: NUMBER_POINTS,
      font: BOLD,
      colour: HELP,
    });
  }
}

/** Where along a side its word may stand, as shares of it, and how far from arrows, in mm, it is not in their way. */
const WORD_PLACES = [0.5, 0.35, 0.65, 0.8, 0.2] as const;
const CLEAR_MM = 10;

/** The first place along a side that is clear of arrows, or the one that is furthest from them. */
function wordPlace({ packetCuts: cuts }: Packet, from: Point, to: Point): number {
  const entries = cuts.flatMap((cut) => cut.entries);
  const clearance = (share: number): number => {
    const x = from.x + share * (to.x - from.x);
    const y = from.y + share * (to.y - from.y);
    return Math.min(CLEAR_MM, ...entries.map(({ at }) => Math.hypot(at.x - x, at.y - y)));
  };
  return WORD_PLACES.reduce<number>(
    (best, share) => (clearance(share) > clearance(best) ? share : best),
    WORD_PLACES[0],
  );
}

function drawRotated(pdf: Pdf, { x, y }: Point, degrees: number, draw: () => void): void {
  pdf.save().rotate(degrees, { origin: [x * POINTS_PER_MM, y * POINTS_PER_MM] });
  draw();
  pdf.restore();
}

function meanPoint(points: readonly Point[]): Point {
  return {
    x: points.reduce((sum, { x }) => sum + x, 0) / points.length,
    y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
  };
}

/** Heights at which a piece's widest place is looked for. */
const LOOKS = 24;

/** A place well inside a piece: the middle of its widest place, of some heights. */
function pointInside({ region }: Pick<PacketCut, 'region'>): Point {
  const { outer, holes } = region;
  let [top, bottom] = [Infinity, -Infinity];
  for (let i = 1; i < outer.length; i += 2) {
    top = Math.min(top, outer[i]);
    bottom = Math.max(bottom, outer[i]);
  }
  let best = { x: outer[0], y: outer[1], room: 0 };
  for (let k = 1; k < LOOKS; k++) {
    const y = top + ((bottom - top) * k) / LOOKS;
    const xs = [outer, ...holes].flatMap((loop) => crossings(loop, y)).sort((a, b) => a - b);
    for (let i = 0; i + 1 < xs.length; i += 2) {
      const wide = xs[i + 1] - xs[i];
      // As wide as it is, and as far from the piece's top and bottom.
      const room = Math.min(wide, 2 * (y - top), 2 * (bottom - y));
      if (room > best.room) best = { x: (xs[i] + xs[i + 1]) / 2, y, room };
    }
  }
  return best;
}

function crossings(loop: Float64Array, y: number): number[] {
  const found: number[] = [];
  const n = loop.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [yi, yj] = [loop[i + 1], loop[j + 1]];
    if (yi > y === yj > y) continue;
    found.push(loop[i] + ((y - yi) * (loop[j] - loop[i])) / (yj - yi));
  }
  return found;
}

/** Adds a closed polygon to the path. */
export function polygon(pdf: Pdf, loop: ArrayLike<number>): void {
  polyline(pdf, loop);
  pdf.closePath();
}

function polyline(pdf: Pdf, line: ArrayLike<number>): void {
  pdf.moveTo(line[0], line[1]);
  for (let i = 2; i < line.length; i += 2) pdf.lineTo(line[i], line[i + 1]);
}

/** Folds of the opened sheet that the packet's sides do not show, thin. */
export function drawOtherFolds(pdf: Pdf, { pattern }: Packet): void {
  for (const copy of pattern.copies) {
    const outline = pattern.outline.map(({ x, y }) => ({
      x: copy.a * x + copy.c * y + copy.e,
      y: copy.b * x + copy.d * y + copy.f,
    }));
    outline.forEach((from, i) => {
      if (pattern.sides[i].is === 'open') return;
      const to = outline[(i + 1) % outline.length];
      pdf.moveTo(from.x, from.y).lineTo(to.x, to.y);
    });
  }
  pdf.lineWidth(HAIRLINE_MM).dash(1, { space: 2 }).stroke(SOFT_INK).undash();
}
