import type { Colours } from './colours.js';

/**
 * CIE 1976 L*a*b* of each pixel, three numbers each: L* 0 black to 100 white; distances between them are about what the
 * eye makes of a difference of colour.
 *
 * From sRGB by IEC 61966-2-1, by CIE 15:2004, 8.2.1, with the white point D65.
 */
export function labOf({ data }: Colours): Float32Array {
  const lab = new Float32Array(data.length);
  for (let i = 0; i < data.length; i += 3) {
    const red = LIGHT[data[i]];
    const green = LIGHT[data[i + 1]];
    const blue = LIGHT[data[i + 2]];
    const x = lightness(X[0] * red + X[1] * green + X[2] * blue);
    const y = lightness(Y[0] * red + Y[1] * green + Y[2] * blue);
    const z = lightness(Z[0] * red + Z[1] * green + Z[2] * blue);
    lab[i] = L_SCALE * y - L_OFFSET;
    lab[i + 1] = A_SCALE * (x - y);
    lab[i + 2] = B_SCALE * (y - z);
  }
  return lab;
}

/** sRGB's primaries as shares of the white point, whose own X, Y and Z are then 1 (IEC 61966-2-1). */
const X = share([0.4124, 0.3576, 0.1805]);
const Y = share([0.2126, 0.7152, 0.0722]);
const Z = share([0.0193, 0.1192, 0.9505]);

function share(row: readonly [number, number, number]): readonly [number, number, number] {
  const sum = row[0] + row[1] + row[2];
  return [row[0] / sum, row[1] / sum, row[2] / sum];
}

/** From a byte of sRGB to light, 0 to 1: a straight beginning, and a power of what lies above it (IEC 61966-2-1). */
const STRAIGHT_TO = 0.04045;
const STRAIGHT = 12.92;
const OFFSET = 0.055;
const POWER = 2.4;
const LIGHT = Float64Array.from({ length: 256 }, (_, byte) => {
  const value = byte / 255;
  return value <= STRAIGHT_TO ? value / STRAIGHT : ((value + OFFSET) / (1 + OFFSET)) ** POWER;
});

/** The factors of CIE 15:2004, 8.2.1: of L*, and what is taken off it, of a*, and of b*. */
const L_SCALE = 116;
const L_OFFSET = 16;
const A_SCALE = 500;
const B_SCALE = 200;
/** Up to here CIE's function is a straight line, of this slope, from this value at 0 (CIE 15:2004, 8.2.1). */
const LINE_TO = (24 / 116) ** 3;
const LINE_SLOPE = 841 / 108;
const LINE_START = 16 / 116;

function lightness(value: number): number {
  return value > LINE_TO ? Math.cbrt(value) : LINE_SLOPE * value + LINE_START;
}
