import type { Bitmap } from '../raster/raster.js';
import { finerRows } from '../raster/field.js';
import type { Picture } from './read.js';
import { choose, evenLightness, overview } from './tone/choice.js';
import { edgesTone } from './tone/edges.js';
import { localTone } from './tone/local.js';
import { autoTone, levelTone } from './tone/one-level.js';
import type { Decision, Framed, ToneJob } from './tone/view.js';

/** Dark or light, pixel by pixel, and how that was decided. */
export interface Tone {
  /** The whole sheet; outside the picture's frame it is film. */
  readonly bitmap: Bitmap;
  readonly mode: 'auto' | 'level' | 'local' | 'edges';
  /** One sentence for the artist. */
  readonly why: string;
}

/**
 * Decides dark or light for every pixel of the picture.
 *
 * - `auto`: one level for all, Otsu's; for flat drawings.
 * - `level`: one level for all, given in percent of full lightness.
 * - `local`: each part against the paper round it, Sauvola & Pietikäinen's; for pages in uneven light.
 * - `edges`: lines and dark masses, Winnemöller, Kyprianidis & Olsen's; for photographs.
 * - `best`: `auto`, `local` or `edges`, by what the picture is like.
 *
 * Every scale is in millimetres on the card and follows from the limits and the smoothing. A picture of one
 * even tone is all light, or all dark when it is black; it is never parted by its grain.
 */
export function tone(picture: Picture, job: ToneJob): Tone {
  const { mode, why, decision } = decide(picture, job);
  return { bitmap: marked(decision, picture, job.swap), mode, why };
}

interface Decided extends Omit<Tone, 'bitmap'> {
  readonly decision: Decision;
}

const modes: Readonly<
  Record<Tone['mode'], { decide: (picture: Framed, job: ToneJob) => Decision; why: string }>
> = {
  auto: { decide: autoTone, why: 'As asked, one level parts the whole picture: auto.' },
  level: { decide: levelTone, why: 'As asked, what is darker than the level given is cut: level.' },
  local: {
    decide: localTone,
    why: 'As asked, each part is judged against the paper round it: local.',
  },
  edges: { decide: edgesTone, why: 'As asked, lines and dark masses are kept: edges.' },
};

function decide(picture: Framed, job: ToneJob): Decided {
  if (job.tone === 'level') return decided('level', modes.level.why, picture, job);
  const view = overview(picture);
  const even = evenLightness(view);
  if (even !== undefined) return evenTone(picture, even, job.tone === 'best' ? 'auto' : job.tone);
  if (job.tone !== 'best') return decided(job.tone, modes[job.tone].why, picture, job);
  const { mode, why } = choose(view);
  return decided(mode, why, picture, job);
}

function decided(mode: Tone['mode'], why: string, picture: Framed, job: ToneJob): Decided {
  return { mode, why, decision: modes[mode].decide(picture, job) };
}

/** Darker than this, of 255, an even picture is black. */
const BLACK = 32;

function evenTone({ frame }: Framed, lightness: number, mode: Tone['mode']): Decided {
  const dark = lightness < BLACK;
  const factor = Math.max(frame.width, frame.height);
  return {
    mode,
    why: `The picture is one even tone, so there is nothing to tell apart: all of it counts as ${dark ? 'dark' : 'light'}.`,
    decision: { lightness: { width: 1, height: 1, data: Float32Array.of(dark ? -1 : 1) }, factor },
  };
}

/** The sheet with the frame's dark pixels as openings, its light ones when swapped; the rest is film. */
function marked({ lightness, factor }: Decision, { gray, frame }: Framed, swap: boolean): Bitmap {
  const data = new Uint8Array(gray.width * gray.height);
  finerRows(lightness, factor, frame.width, frame.height, (row, y) => {
    const start = (frame.y + y) * gray.width + frame.x;
    for (let x = 0; x < row.length; x++) data[start + x] = row[x] < 0 !== swap ? 1 : 0;
  });
  return { width: gray.width, height: gray.height, data };
}
