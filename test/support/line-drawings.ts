/** Line drawings of the project's own, with their centrelines. Coordinates in mm on a picture 89.6 mm wide. */

/** A drawing as an SVG, and places every 0.2 mm along those of its strokes that are 5 mm or longer, in shares of it. */
export interface LineDrawing {
  readonly name: string;
  readonly svg: string;
  readonly centreline: readonly (readonly [x: number, y: number])[];
}

/** The room inside the margin of a 4 × 4 in card: what is drawn so wide comes out at its size. */
const SIDE = 89.6;
const STEP = 0.2;
const LEAST = 5;

type Points = readonly (readonly [number, number])[];

/** One stroke: its points, and its width in mm. */
interface Stroke {
  readonly points: Points;
  readonly width: number;
}

/** Makes a drawing of strokes. */
function drawn(name: string, strokes: readonly Stroke[]): LineDrawing {
  const path = ({ points, width }: Stroke): string =>
    `<polyline points="${points.map(([x, y]) => `${x.toFixed(3)},${y.toFixed(3)}`).join(' ')}" fill="none" stroke="#111" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round"/>`;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}mm" height="${SIDE}mm" viewBox="0 0 ${SIDE} ${SIDE}"><rect width="${SIDE}" height="${SIDE}" fill="#fff"/>${strokes.map(path).join('')}</svg>`;
  const centreline = strokes.flatMap(({ points }) => placesAlong(points));
  return { name, svg, centreline };
}

function placesAlong(points: Points): [number, number][] {
  const lengths = points
    .slice(1)
    .map(([x, y], k) => Math.hypot(x - points[k][0], y - points[k][1]));
  if (lengths.reduce((sum, length) => sum + length, 0) < LEAST) return [];
  return lengths.flatMap((length, k) => {
    const n = Math.max(1, Math.round(length / STEP));
    const [[x0, y0], [x1, y1]] = [points[k], points[k + 1]];
    return Array.from({ length: n }, (_, i): [number, number] => {
      const t = (i + 0.5) / n;
      return [(x0 + (x1 - x0) * t) / SIDE, (y0 + (y1 - y0) * t) / SIDE];
    });
  });
}

/** An ellipse's arc, angles in degrees. */
function arc(x: number, y: number, rx: number, ry = rx, from = 0, to = 360): Points {
  const n = Math.max(12, Math.round((Math.abs(to - from) / 360) * (rx + ry) * 4));
  return Array.from({ length: n + 1 }, (_, k) => {
    const angle = ((from + ((to - from) * k) / n) * Math.PI) / 180;
    return [x + rx * Math.cos(angle), y + ry * Math.sin(angle)] as const;
  });
}

/** A curve through `n` values of t from 0 to 1. */
function curve(at: (t: number) => readonly [number, number], n = 80): Points {
  return Array.from({ length: n + 1 }, (_, k) => at(k / n));
}

/** Two rings of a line, with so much clear between them. */
export function rings(line: number, gap: number): LineDrawing {
  const outer = 30;
  return drawn(`two rings, ${gap.toFixed(1)} mm apart`, [
    { points: arc(SIDE / 2, SIDE / 2, outer), width: line },
    { points: arc(SIDE / 2, SIDE / 2, outer - line - gap), width: line },
  ]);
}

/** Twelve parallel strokes with so much clear between them. */
export function hatch(line: number, gap: number): LineDrawing {
  const pitch = line + gap;
  const count = Math.min(12, Math.floor(70 / pitch));
  const left = (SIDE - (count - 1) * pitch) / 2;
  return drawn(
    `a hatch, ${gap.toFixed(1)} mm apart`,
    Array.from({ length: count }, (_, k) => ({
      points: [
        [left + k * pitch, 20],
        [left + k * pitch, 70],
      ] as Points,
      width: line,
    })),
  );
}

const C = SIDE / 2;
const turned = (points: Points, degrees: number): Points => {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return points.map(
    ([x, y]) => [C + (x - C) * c - (y - C) * s, C + (x - C) * s + (y - C) * c] as const,
  );
};

const heart = (size: number): Points =>
  curve((t) => {
    const a = 2 * Math.PI * t;
    return [
      C + size * 16 * Math.sin(a) ** 3,
      C -
        2 -
        size * (13 * Math.cos(a) - 5 * Math.cos(2 * a) - 2 * Math.cos(3 * a) - Math.cos(4 * a)),
    ];
  }, 160);

/** A wobble that is the same every time. */
const wobble = (k: number): number =>
  Math.sin(12.9898 * k + 4.1) * 0.5 + Math.sin(78.233 * k) * 0.5;

const petal = (length: number, width: number): Points =>
  curve((t) => {
    const a = 2 * Math.PI * t;
    return [C + (length / 2) * (1 - Math.cos(a)) + 8, C + width * Math.sin(a) * Math.sin(a / 2)];
  });

const double = (points: (grow: number) => Points, gap: number, width: number): Stroke[] => [
  { points: points(0), width },
  { points: points(gap), width },
];

/** Drawings of the kinds that people draw: doubled outlines, mandalas, grass, spokes, hatching, lettering, plaits. */
export const lineDrawings: readonly LineDrawing[] = [
  drawn('a doubled heart', [
    { points: heart(2.1), width: 0.7 },
    { points: heart(1.92), width: 0.7 },
  ]),
  drawn('a mandala', [
    ...[34, 32.2, 20, 18.4].map((r) => ({ points: arc(C, C, r), width: 0.6 })),
    ...Array.from({ length: 12 }, (_, k) => ({ points: turned(petal(20, 5), 30 * k), width: 0.6 })),
  ]),
  drawn(
    'grass',
    Array.from({ length: 34 }, (_, k) => ({
      points: curve(
        (t) => [8 + k * 2.2 + wobble(k) * 6 * t * t, 80 - (22 + 8 * wobble(k + 40)) * t],
        20,
      ),
      width: 0.8,
    })),
  ),
  drawn('a badge', [
    ...[36, 34, 26, 24.4].map((r) => ({ points: arc(C, C, r), width: 0.7 })),
    ...Array.from({ length: 5 }, (_, k) => ({
      points: turned(
        [
          [C, C - 20],
          [C + 4.5, C - 6],
        ],
        72 * k,
      ),
      width: 0.7,
    })),
    ...Array.from({ length: 5 }, (_, k) => ({
      points: turned(
        [
          [C, C - 20],
          [C - 4.5, C - 6],
        ],
        72 * k,
      ),
      width: 0.7,
    })),
  ]),
  drawn('a bicycle', [
    ...[
      [22, 56],
      [67, 56],
    ].flatMap(([x, y]) => [
      ...[15, 13.4].map((r) => ({ points: arc(x, y, r), width: 0.6 })),
      ...Array.from({ length: 8 }, (_, k) => ({
        points: [
          [x, y],
          [x + 13.4 * Math.cos((k * Math.PI) / 4), y + 13.4 * Math.sin((k * Math.PI) / 4)],
        ] as Points,
        width: 0.5,
      })),
    ]),
    {
      points: [
        [22, 56],
        [36, 34],
        [58, 34],
        [44, 56],
        [22, 56],
      ],
      width: 0.9,
    },
    {
      points: [
        [44, 56],
        [34, 29],
      ],
      width: 0.9,
    },
    {
      points: [
        [29, 29],
        [39, 29],
      ],
      width: 1.2,
    },
    {
      points: [
        [67, 56],
        [56, 26],
        [63, 24],
      ],
      width: 0.9,
    },
  ]),
  drawn('a snail', [
    {
      points: curve((t) => {
        const r = 3 + 19 * t;
        const a = 5.2 * Math.PI * t;
        return [C + r * Math.cos(a), C - 4 + r * Math.sin(a)];
      }, 240),
      width: 0.7,
    },
    { points: curve((t) => [14 + 62 * t, 66 + 1.5 * Math.sin(9 * t)]), width: 0.8 },
  ]),
  drawn('a fish with scales', [
    {
      points: curve((t) => {
        const a = 2 * Math.PI * t;
        return [C + 32 * Math.cos(a), C + 17 * Math.sin(a)];
      }, 160),
      width: 0.8,
    },
    ...Array.from({ length: 6 }, (_, c) =>
      Array.from({ length: 5 }, (_, r) => ({
        points: arc(26 + 7 * c, 30 + 6.4 * r + (c % 2) * 3, 3.4, 3.4, -80, 80),
        width: 0.5,
      })),
    ).flat(),
  ]),
  drawn('a cross-hatched apple', [
    { points: arc(C, C + 4, 24, 25), width: 0.9 },
    { points: curve((t) => [C + 5 * t, C - 20 - 12 * t]), width: 1 },
    ...Array.from({ length: 14 }, (_, k) => ({
      points: [
        [C + 2 + k * 1.5, C + 12 - k * 0.9],
        [C - 8 + k * 1.6, C + 26 - k * 0.9],
      ] as Points,
      width: 0.4,
    })),
  ]),
  drawn('a house of planks', [
    {
      points: [
        [18, 76],
        [18, 40],
        [45, 16],
        [72, 40],
        [72, 76],
        [18, 76],
      ],
      width: 0.9,
    },
    ...Array.from({ length: 13 }, (_, k) => ({
      points: [
        [18, 42 + k * 2.6],
        [72, 42 + k * 2.6],
      ] as Points,
      width: 0.5,
    })),
    {
      points: [
        [40, 76],
        [40, 58],
        [52, 58],
        [52, 76],
      ],
      width: 0.9,
    },
  ]),
  drawn('a feather', [
    { points: curve((t) => [20 + 50 * t, 74 - 58 * t - 8 * Math.sin(Math.PI * t)]), width: 0.9 },
    ...Array.from({ length: 20 }, (_, k) => {
      const t = 0.12 + k * 0.042;
      const [x, y] = [20 + 50 * t, 74 - 58 * t - 8 * Math.sin(Math.PI * t)];
      return [
        {
          points: [
            [x, y],
            [x + 13 - 6 * t, y + 3 - 9 * t],
          ] as Points,
          width: 0.5,
        },
        {
          points: [
            [x, y],
            [x - 3 - 4 * t, y - 13 + 5 * t],
          ] as Points,
          width: 0.5,
        },
      ];
    }).flat(),
  ]),
  drawn('a sun over waves', [
    { points: arc(C, 30, 12), width: 0.8 },
    ...double((g) => arc(C, 30, 14 + g), 1.7, 0.5),
    ...Array.from({ length: 24 }, (_, k) => ({
      points: [
        [C + 18 * Math.cos((k * Math.PI) / 12), 30 + 18 * Math.sin((k * Math.PI) / 12)],
        [C + 25 * Math.cos((k * Math.PI) / 12), 30 + 25 * Math.sin((k * Math.PI) / 12)],
      ] as Points,
      width: 0.6,
    })),
    ...Array.from({ length: 9 }, (_, k) => ({
      points: curve((t) => [8 + 74 * t, 62 + 2.3 * k + 1.6 * Math.sin(14 * t + k)]),
      width: 0.6,
    })),
  ]),
  drawn('a basket', [
    ...double((g) => arc(C, 40, 28 - g, 9 - g / 2), 2, 0.7),
    { points: curve((t) => [C - 28 + 8 * t, 40 + 36 * t]), width: 0.8 },
    { points: curve((t) => [C + 28 - 8 * t, 40 + 36 * t]), width: 0.8 },
    ...Array.from({ length: 8 }, (_, k) => ({
      points: curve((t) => {
        const w = 27 - 2 * k * 0.9;
        return [C - w + 2 * w * t, 48 + 3.2 * k + 4 * Math.sin(Math.PI * t)];
      }),
      width: 0.6,
    })),
    { points: arc(C, 40, 24, 30, 180, 360), width: 0.8 },
    { points: arc(C, 40, 21.8, 27.8, 180, 360), width: 0.8 },
  ]),
  drawn('a face in pencil', [
    { points: arc(C, C, 24, 30), width: 0.6 },
    ...[-9, 9].flatMap((dx) => [
      { points: arc(C + dx, C - 6, 5, 2.6), width: 0.5 },
      { points: arc(C + dx, C - 8, 6, 4, 200, 340), width: 0.6 },
      { points: arc(C + dx, C - 9.8, 6.4, 4.4, 205, 335), width: 0.5 },
    ]),
    {
      points: [
        [C, C - 4],
        [C - 3, C + 6],
        [C + 2, C + 7],
      ],
      width: 0.5,
    },
    { points: arc(C, C + 12, 8, 4, 10, 170), width: 0.7 },
    ...Array.from({ length: 16 }, (_, k) => ({
      points: curve(
        (t) => [C - 24 + 3.2 * k, C - 14 - 16 * Math.sin((k / 15) * Math.PI) * t - 3 * t],
        12,
      ),
      width: 0.45,
    })),
  ]),
];
