import { useEffect, useRef, useState } from 'preact/hooks';
import { arrowMm, Cursor, middleOf } from './cursor.js';
import { isInside } from './inside.js';
import { short } from './words.js';
import { editRegion, regionsOf, unsayRegion } from './edit.js';
import type { EditorParts } from './editor-parts.js';
import type { Viewport, ViewPoint } from './viewport.js';
import type { State, PageState } from './work.js';

/** Radius of a mark, in CSS px: as large as WCAG 2.2, 2.5.8, wants what is clicked at the least, 24 px across. */
const MARK_PX = 12;

/**
 * Regions by hand: a click on an opening or an island drops it; a click on a speck that was left out, shown pale,
 * keeps it; a click on a mark takes it back.
 */
export function RegionEditor(props: {
  work: PageState;
  state: State;
  viewport: Viewport;
  parts: { current: EditorParts | undefined };
  say: (text: string) => void;
}) {
  const { work, state, viewport, parts, say } = props;
  const { sketch, screen, history } = state;
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const job = history.now;
  const px = 1 / viewport.pxPerMm;

  const isWantedCut = useWanted(state);

  const act = (at: ViewPoint) => {
    const said = regionsOf(job).findIndex(
      ({ at: [x, y] }) => Math.hypot(x - at.x, y - at.y) <= MARK_PX * px,
    );
    const what = isFilm(at, state) ? 'keep' : 'drop';
    if (said < 0 && what === 'keep' && isWantedCut(at) === false)
      return say('Nothing was left out here, and this film holds the rest.');
    if (said >= 0) work.replace(unsayRegion(job, said));
    else work.replace(editRegion(job, what, at));
    say(said >= 0 ? 'Taken back.' : what === 'drop' ? 'Left out.' : 'Kept, if anything was there.');
  };

  parts.current = {
    down(at, event) {
      event.preventDefault();
      (event.currentTarget as SVGElement).focus({ preventScroll: true });
      setCursor(undefined);
      act(at);
      return true;
    },
    move: () => undefined,
    up: () => undefined,
    cancel: () => undefined,
    key(event) {
      const step = arrowMm(event);
      if (step) {
        const from = cursor ?? middleOf(state);
        const next = { x: from.x + step.x, y: from.y + step.y };
        setCursor(next);
        say(`${whatLies(next, state)} at ${short(next.x)}, ${short(next.y)} mm.`);
      } else if (event.key === 'Enter' && cursor) act(cursor);
      else return false;
      return true;
    },
  };

  return (
    <g class="regions">
      {screen && sketch && (
        <image
          class="ghost"
          href={`data:image/png;base64,${screen.tonePng}`}
          width={sketch.sheet.widthMm}
          height={sketch.sheet.heightMm}
          preserveAspectRatio="none"
        />
      )}
      {regionsOf(job).map(({ do: what, at: [x, y] }, i) => (
        <g key={i} class={what}>
          <circle cx={x} cy={y} r={MARK_PX * px} />
          <text x={x} y={y + 5 * px} font-size={15 * px} text-anchor="middle">
            {what === 'drop' ? '✕' : '✓'}
          </text>
        </g>
      ))}
      {cursor && <Cursor at={cursor} px={px} />}
    </g>
  );
}

/** What lies at a place, for who does not see it. */
function whatLies(at: ViewPoint, { sketch, screen }: State): string {
  if (sketch && isInside(sketch.openings, at, 'evenodd')) return 'A part that is cut';
  return screen && isInside(screen.islands, at, 'evenodd') ? 'An island of film' : 'Film';
}

/** Tells whether the picture asks for an opening at a place; undefined before that is known. */
function useWanted({ screen, sketch, history }: State): (at: ViewPoint) => boolean | undefined {
  const tone = useRef<ImageData | undefined>(undefined);
  const png = screen?.tonePng;
  useEffect(() => {
    tone.current = undefined;
    if (png === undefined) return undefined;
    const image = new Image();
    image.addEventListener('load', () => {
      const { width, height } = image;
      const canvas = Object.assign(document.createElement('canvas'), { width, height });
      const context = canvas.getContext('2d');
      context?.drawImage(image, 0, 0);
      tone.current = context?.getImageData(0, 0, width, height);
    });
    image.src = `data:image/png;base64,${png}`;
    return () => image.removeAttribute('src');
  }, [png]);
  return ({ x, y }) => {
    const { current } = tone;
    if (!current || !sketch) return undefined;
    const [i, j] = [x / sketch.sheet.widthMm, y / sketch.sheet.heightMm];
    const at = Math.floor(j * current.height) * current.width + Math.floor(i * current.width);
    // What is light in the tone picture is clear.
    const isDark = current.data[4 * at + 3] > 0;
    return history.now.as === 'mask' ? !isDark : isDark;
  };
}

/** Whether nothing is cut at a place and no island lies there: then only something left out can be meant. */
function isFilm(at: ViewPoint, { sketch, screen }: State): boolean {
  if (!sketch || !screen) return false;
  return !isInside(sketch.openings, at, 'evenodd') && !isInside(screen.islands, at, 'evenodd');
}
