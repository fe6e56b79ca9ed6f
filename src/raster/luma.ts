/** What a grey takes of red, green and blue; the three sum to 1, so that what is grey stays as it is. */
export type ChannelWeights = readonly [red: number, green: number, blue: number];

/** Y′ = 0.2126 R′ + 0.7152 G′ + 0.0722 B′ (Rec. ITU-R BT.709-6, item 3.2), whose primaries are those of sRGB. */
export const LUMA: ChannelWeights = [0.2126, 0.7152, 0.0722];

/**
 * The grey of each pixel; what a mix would make darker than black is black, and so with white.
 *
 * @param rgb three bytes a pixel
 */
export function mixed(rgb: Uint8Array, [red, green, blue]: ChannelWeights): Uint8Array {
  const grey = new Uint8Array(rgb.length / 3);
  for (let i = 0, at = 0; i < grey.length; i++, at += 3) {
    const value = red * rgb[at] + green * rgb[at + 1] + blue * rgb[at + 2] + 0.5;
    grey[i] = value < 0 ? 0 : value > 255 ? 255 : value;
  }
  return grey;
}
