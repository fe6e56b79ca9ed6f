import type { Sheet } from '../../settings/card.js';
import { flatten } from '../../geometry/flatten.js';
import type { Shape } from '../../geometry/shape.js';

/**
 * How far a chord may lie off its curve, in mm: a tenth of what true size allows. This version of the format has no
 * curves but arcs.
 */
const CHORD_MM = 0.01;
/** Names of layers. */
const OPENINGS = 'OPENINGS';
const SHEET = 'SHEET';
const STROKES = 'STROKES';
/** Of the DXF Reference: two colour numbers, the unit of $INSUNITS, and a polyline's flag, closed or open. */
const BLACK_OR_WHITE = 7;
const GREY = 8;
const MILLIMETRES = 4;
const CLOSED = 1;
const OPEN = 0;

/** A line to follow, as points in mm. */
export interface DxfLine {
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

/**
 * The stencil as a DXF file of Release 12, which old programs read too: closed polylines, one for each outline, on the
 * layer OPENINGS, and the sheet's edge on the layer SHEET; lines of glue as open ones on the layer STROKES; in millimetres, y up, origin at the sheet's bottom left.
 *
 * After Autodesk's published "DXF Reference" for Release 12. `$INSUNITS` came later; readers of Release 12 pass over
 * header variables that they do not know, others learn from it that the unit is the millimetre.
 */
export function stencilDxf(
  openings: readonly Shape[],
  sheet: Sheet,
  strokes: readonly DxfLine[] = [],
): string {
  const { widthMm, heightMm } = sheet;
  const loops = openings.flatMap(({ outer, holes }) =>
    [outer, ...holes].map((outline) => flatten(outline, CHORD_MM)),
  );
  const edge = [0, 0, widthMm, 0, widthMm, heightMm, 0, heightMm];
  return [
    pair(999, 'stencilwright: all lengths in millimetres'),
    ...section('HEADER', header(sheet)),
    ...section('TABLES', [...lineTypes(), ...layers(strokes.length > 0)]),
    ...section('ENTITIES', [
      ...polyline(SHEET, edge, heightMm),
      ...loops.flatMap((loop) => polyline(OPENINGS, loop, heightMm)),
      ...strokes.flatMap(({ x, y }) =>
        polyline(
          STROKES,
          Array.from(x).flatMap((at, i) => [at, y[i]]),
          heightMm,
          OPEN,
        ),
      ),
    ]),
    pair(0, 'EOF'),
  ].join('');
}

const pair = (code: number, value: string | number): string =>
  `${String(code).padStart(3)}\r\n${value}\r\n`;

const dxfPoint = (x: number, y: number): string =>
  pair(10, mm(x)) + pair(20, mm(y)) + pair(30, '0.0');

/** At most four decimals, and always a point: some old programs take a number without one for a whole one. */
function mm(value: number): string {
  const digits = String(Math.round(value * 10_000) / 10_000);
  return digits.includes('.') ? digits : `${digits}.0`;
}

function section(name: string, inside: readonly string[]): string[] {
  return [pair(0, 'SECTION'), pair(2, name), ...inside, pair(0, 'ENDSEC')];
}

function header({ widthMm, heightMm }: Sheet): string[] {
  const variable = (name: string, value: string): string => pair(9, name) + value;
  return [
    variable('$ACADVER', pair(1, 'AC1009')),
    variable('$INSUNITS', pair(70, MILLIMETRES)),
    variable('$EXTMIN', dxfPoint(0, 0)),
    variable('$EXTMAX', dxfPoint(widthMm, heightMm)),
    variable('$LIMMIN', pair(10, '0.0') + pair(20, '0.0')),
    variable('$LIMMAX', pair(10, mm(widthMm)) + pair(20, mm(heightMm))),
  ];
}

function lineTypes(): string[] {
  return [
    pair(0, 'TABLE'),
    pair(2, 'LTYPE'),
    pair(70, 1),
    pair(0, 'LTYPE'),
    pair(2, 'CONTINUOUS'),
    pair(70, 0),
    pair(3, 'Solid line'),
    pair(72, 65),
    pair(73, 0),
    pair(40, '0.0'),
    pair(0, 'ENDTAB'),
  ];
}

function layers(hasStrokes: boolean): string[] {
  const layer = (name: string, colour: number): string[] => [
    pair(0, 'LAYER'),
    pair(2, name),
    pair(70, 0),
    pair(62, colour),
    pair(6, 'CONTINUOUS'),
  ];
  return [
    pair(0, 'TABLE'),
    pair(2, 'LAYER'),
    pair(70, hasStrokes ? 4 : 3),
    ...layer('0', BLACK_OR_WHITE),
    ...layer(OPENINGS, BLACK_OR_WHITE),
    ...layer(SHEET, GREY),
    ...(hasStrokes ? layer(STROKES, BLACK_OR_WHITE) : []),
    pair(0, 'ENDTAB'),
  ];
}

/** A polyline; the sheet's y runs down, the format's up. */
function polyline(
  layer: string,
  loop: ArrayLike<number>,
  heightMm: number,
  flag = CLOSED,
): string[] {
  const on = pair(8, layer);
  const words = [pair(0, 'POLYLINE') + on + pair(66, 1) + dxfPoint(0, 0) + pair(70, flag)];
  for (let i = 0; i < loop.length; i += 2)
    words.push(pair(0, 'VERTEX') + on + dxfPoint(loop[i], heightMm - loop[i + 1]));
  words.push(pair(0, 'SEQEND') + on);
  return words;
}
