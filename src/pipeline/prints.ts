import type { Printed } from '../stages/features/features.js';
import type { Folded } from '../stages/fold/fold.js';
import type { FramedDesign } from '../stages/frame/frame.js';
import type { Picture } from '../stages/read/read.js';
import type { Repeated } from '../stages/repeat/repeat.js';

/** What the prints of a picture are found from. */
interface PrintedFrom {
  readonly read: Picture;
  readonly repeat: Repeated;
  readonly fold: Folded;
  readonly frame: FramedDesign;
}

/**
 * Loads what finds the prints of a picture on its finished sheet: one of each whole motif where it is repeated, the part
 * of a folded sheet that it was laid into, or the whole sheet. Each is taken back onto the picture's own pixels. A folded
 * sheet that the picture fills, without a place of its own in the packet, has none.
 */
export async function loadPrints(): Promise<(values: PrintedFrom) => readonly Printed[]> {
  const [{ printedOnce }, { motifsOf }, { contentBox, placeInPacket, warpedBack }] =
    await Promise.all([
      import('../stages/features/features.js'),
      import('../stages/repeat/repeat.js'),
      import('../stages/fold/place.js'),
    ]);
  return ({ read, repeat, fold, frame }) => {
    const { pictureBox, pixelsPerMm } = read;
    const whole = printedOnce(read, frame.openings);
    if (repeat.places) {
      return motifsOf(whole.print, pictureBox, repeat).map(({ print, place }) => ({
        print,
        onSheet: ([u, v]) => {
          const [x, y] = [u - pictureBox.x, v - pictureBox.y];
          const across = place.flipX ? pictureBox.width - x : x;
          const down = place.flipY ? pictureBox.height - y : y;
          return [(place.x + across) / pixelsPerMm, (place.y + down) / pixelsPerMm];
        },
        scale: 1,
      }));
    }
    if (!fold.fold) return [whole];
    const { place } = fold.fold;
    if (!place) return [];
    const drawn = { content: contentBox(repeat.bitmap, pictureBox), pixelsPerMm };
    return [
      {
        print: warpedBack(whole.print, drawn, place, pictureBox),
        onSheet: (at) => placeInPacket(drawn, place, at),
        scale: place.scale,
      },
    ];
  };
}
