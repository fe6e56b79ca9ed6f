/*
 * Drawings in which thin light lines say which strand passes over which: an overhand knot in a rope and a plait of
 * three strands. Drawn by rule, dark on white, 90 units a side: on a card of 4 × 4 in a unit is 1 mm.
 */

interface Place {
  readonly x: number;
  readonly y: number;
  /** The strand with more of it lies on top. */
  readonly z: number;
}

interface Look {
  /** The strand's width. */
  readonly width: number;
  /** The width of the light line along what passes over. */
  readonly line: number;
  /** How far the light line stops short of the edge of what passes under. */
  readonly short: number;
  /** The light line's colour; white when it is not given. */
  readonly colour?: string;
}

const SIDE = 90;
const STEPS = 240;

/** The overhand knot: a trefoil, (sin t + 2 sin 2t, cos t - 2 cos 2t, -sin 3t), cut open, its ends drawn out. */
export function overhandKnot(look: Look): string {
  const begin = 1.15;
  const span = 2 * Math.PI - 0.62;
  const scale = 12.5;
  const trefoil = (t: number): Place => ({
    x: SIDE / 2 + scale * (Math.sin(t) + 2 * Math.sin(2 * t)),
    y: SIDE / 2 - 4 + scale * (Math.cos(t) - 2 * Math.cos(2 * t)),
    z: -Math.sin(3 * t),
  });
  const places = Array.from({ length: STEPS + 1 }, (_, i) => trefoil(begin + (span * i) / STEPS));
  return drawing([places], look);
}

/** The plait: three waves a third of a turn apart, each over one neighbour and under the other by turns. */
export function plait(look: Look): string {
  const strands = [0, 1, 2].map((k) =>
    Array.from({ length: STEPS + 1 }, (_, i): Place => {
      const t = ((7 / 3) * Math.PI * i) / STEPS - 0.1 + (2 * Math.PI * k) / 3;
      return { x: SIDE / 2 + 19 * Math.sin(t), y: 4 + (82 * i) / STEPS, z: Math.sin(2 * t) };
    }),
  );
  return drawing(strands, look);
}

/** What lies low first; then what lies high, each run of it with its light lines along both edges. */
function drawing(
  strands: readonly (readonly Place[])[],
  { width, line, short, colour = '#fff' }: Look,
): string {
  const low = strands.map((places) => stroke(places, '#000', width));
  const high = strands.flatMap((places) =>
    runsOnTop(places).map(([first, last]) => {
      const casing = stroke(places.slice(first, last + 1), colour, width + 2 * line);
      return casing + stroke(places.slice(Math.max(0, first - 1), last + 2), '#000', width);
    }),
  );
  const closed = short > 0 ? strands.map((places) => edges(places, width, short)) : [];
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}" viewBox="0 0 ${SIDE} ${SIDE}"><rect width="${SIDE}" height="${SIDE}" fill="#fff"/><g fill="none">${[...low, ...high, ...closed].join('')}</g></svg>`;
}

function stroke(places: readonly Place[], colour: string, width: number): string {
  const points = places.map(({ x, y }) => `${x.toFixed(3)} ${y.toFixed(3)}`);
  return `<path d="M${points.join('L')}" stroke="${colour}" stroke-width="${width}"/>`;
}

/** The stretches of a strand that lie above the middle, by their first and last place. */
function runsOnTop(places: readonly Place[]): [number, number][] {
  const runs: [number, number][] = [];
  places.forEach((place, i) => {
    if (place.z <= 0) return;
    if (i === 0 || places[i - 1].z <= 0) runs.push([i, i]);
    runs[runs.length - 1][1] = i;
  });
  return runs.filter(([first, last]) => last > first);
}

/** Dark along both edges of a strand, over everything: the light lines across it stop short by its width. */
function edges(places: readonly Place[], width: number, short: number): string {
  return [-1, 1]
    .map((side) => {
      const off = side * (width / 2 - short / 2);
      const points = places.slice(1, -1).map(({ x, y }, i) => {
        const [before, after] = [places[i], places[i + 2]];
        const [dx, dy] = [after.x - before.x, after.y - before.y];
        const length = Math.hypot(dx, dy);
        return `${(x - (off * dy) / length).toFixed(3)} ${(y + (off * dx) / length).toFixed(3)}`;
      });
      return `<path d="M${points.join('L')}" stroke="#000" stroke-width="${short}"/>`;
    })
    .join('');
}
