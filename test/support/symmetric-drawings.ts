/**
 * Drawings of the project's own that are symmetric: about axes that lean, by turns with mirrors and without. Coordinates in
 * mm on a picture 89.6 mm wide.
 */

/** A drawing, and all that it is symmetric by: turns by 360° / n, and mirrors through the place that is turned about. */
export interface SymmetricDrawing {
  readonly name: string;
  readonly svg: string;
  /** In mm on the picture. */
  readonly centre: readonly [x: number, y: number];
  /** 1 for a mirror alone. */
  readonly turns: number;
  /** The direction of a mirror in degrees clockwise from straight up; undefined where there is none. */
  readonly axis?: number;
}

export const SIDE = 89.6;
const C = SIDE / 2;

const svgOf = (inside: string, defs = ''): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}mm" height="${SIDE}mm" viewBox="0 0 ${SIDE} ${SIDE}">${defs}<rect width="${SIDE}" height="${SIDE}" fill="#fff"/>${inside}</svg>`;

/** What is drawn upright about (0, 0), laid at a place and turned. */
const laid = ([x, y]: readonly [number, number], degrees: number, inside: string): string =>
  `<g transform="translate(${x} ${y}) rotate(${degrees})">${inside}</g>`;
const bothSides = (inside: string): string => `${inside}<g transform="scale(-1 1)">${inside}</g>`;
const around = (n: number, inside: string): string =>
  Array.from({ length: n }, (_, k) => `<g transform="rotate(${(360 * k) / n})">${inside}</g>`).join(
    '',
  );
const line = (d: string, width = 0.8): string =>
  `<path d="${d}" fill="none" stroke="#111" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round"/>`;
const area = (d: string): string => `<path d="${d}" fill="#111" fill-rule="evenodd"/>`;

function mirrored(
  name: string,
  centre: readonly [number, number],
  axis: number,
  half: string,
  middle = '',
): SymmetricDrawing {
  return { name, svg: svgOf(laid(centre, axis, bothSides(half) + middle)), centre, turns: 1, axis };
}

function turned(
  name: string,
  turns: number,
  part: string,
  centre: readonly [number, number] = [C, C],
  degrees = 0,
): SymmetricDrawing {
  return { name, svg: svgOf(laid(centre, degrees, around(turns, part))), centre, turns };
}

const veins = [-18, -9, 0, 9, 18]
  .map((y) => line(`M0 ${y} Q7 ${y - 3} ${14 - Math.abs(y) / 4} ${y - 9}`, 0.7))
  .join('');

export const symmetricDrawings: readonly SymmetricDrawing[] = [
  mirrored(
    'a leaf aslant',
    [C + 2, C - 1],
    38,
    line('M0 -36 C16 -22 24 8 0 30', 1) + veins,
    line('M0 -36 V38', 1.2),
  ),
  mirrored(
    'a heart on its side',
    [C - 3, C],
    90,
    line('M0 -14 C8 -38 40 -24 26 2 C20 14 8 20 0 32', 0.9) +
      line('M0 -6 C8 -28 30 -18 20 0 C15 10 6 14 0 23', 0.9),
  ),
  mirrored(
    'a butterfly at 30 degrees',
    [C, C + 1],
    30,
    area('M2 -6 C10 -34 40 -32 33 -10 C30 2 14 4 2 0Z M16 -18 a6 6 0 1 0 12 0 a6 6 0 1 0 -12 0Z') +
      area('M2 3 C16 4 30 12 22 26 C14 34 4 20 2 8Z') +
      line('M0 -16 Q3 -26 10 -32', 1),
    area('M-1.6 -16 h3.2 v38 h-3.2Z'),
  ),
  {
    name: 'a star that looks at 5 degrees',
    svg: svgOf(
      laid(
        [C, C],
        5,
        around(5, line('M0 -38 L9 -12.4 M0 -38 L-9 -12.4') + line('M0 -26 V-16', 1.4)) +
          `<circle r="7" fill="none" stroke="#111" stroke-width="0.9"/>`,
      ),
    ),
    centre: [C, C],
    turns: 5,
    axis: 5,
  },
  turned(
    'a pinwheel of five',
    5,
    area('M0 -4 C6 -16 22 -26 30 -22 C26 -12 16 -8 4 -3Z'),
    [C, C],
    11,
  ),
  turned(
    'a pinwheel in outline',
    5,
    line('M0 -9 C8 -14 24 -24 27 -16 C28 -8 14 -6 3 -9Z', 0.9) +
      line('M0 -34 A34 34 0 0 1 32.336 -10.507', 1) +
      line('M0 -5 A5 5 0 0 1 4.755 -1.545', 0.9),
    [C, C],
    4,
  ),
  turned(
    'a swirl',
    6,
    line('M0 -5 C10 -8 18 -20 6 -36', 0.9) + line('M5 -5 C14 -10 20 -20 12 -33', 0.7),
  ),
  turned(
    'three arrows that chase',
    3,
    area('M-16 -22 A28 28 0 0 1 18 -21 L22 -26 L26 -8 L8 -12 L12 -16 A18 18 0 0 0 -11 -15Z'),
    [C + 1, C + 2],
    20,
  ),
  turned(
    'a basket-weave whirl',
    4,
    [0, 1, 2, 3].map((k) => line(`M2 ${-6 - 7 * k} H${30 - 4 * k}`, 1)).join('') +
      line('M2 -30 V-3', 0.7),
    [C, C],
    7,
  ),
  turned('a scroll of two', 2, line('M0 0 C10 -24 34 -16 30 2 C27 14 12 12 14 2 C15 -4 22 -4 22 1', 1), [C, C], 25), // prettier-ignore
];
