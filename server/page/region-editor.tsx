import { useState } from 'preact/hooks';
import { arrowMm, Cursor, sheetCentre } from './cursor.js';
import { isInsidePath } from './inside.js';
import { editRegion, regionsOf, unsayRegion } from './edit.js';
import type { SheetEditorProps } from './editor-parts.js';
import { placeIn } from './place-in-words.js';
import type { ViewPoint } from './viewport.js';
import type { PageState } from './page-model.js';

/** Radius of a mark, in CSS px: as large as WCAG 2.2, 2.5.8, wants what is clicked at the least, 24 px across. */
const MARK_PX = 12;

/**
 * Regions by hand: a click on an opening or an island drops it; a click on a speck that was left out, shown pale,
 * keeps it; a click on a mark takes it back.
 */
export function RegionEditor(props: SheetEditorProps) {
  const { model, state, viewport, parts, say } = props;
  const { sketch, screen, history } = state;
  const [cursor, setCursor] = useState<ViewPoint | undefined>();
  const job = history.now;
  const px = 1 / viewport.pxPerMm;

  const act = (at: ViewPoint) => {
    const said = regionsOf(job).findIndex(
      ({ at: [x, y] }) => Math.hypot(x - at.x, y - at.y) <= MARK_PX * px,
    );
    if (said >= 0) {
      model.replace(unsayRegion(job, said));
      say('Taken back.');
    } else if (isFilm(at, state)) void keep(at);
    else {
      model.replace(editRegion(job, 'drop', at));
      say('Left out.');
    }
  };

  const keep = async (at: ViewPoint) => {
    if (!(await isWantedCut(at, state)))
      return say('Nothing was left out here, and this film holds the rest.');
    // Another change may have come meanwhile.
    model.replace(editRegion(model.state.history.now, 'keep', at));
    say('Kept, if anything was there.');
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
        const from = cursor ?? sheetCentre(state);
        const next = { x: from.x + step.x, y: from.y + step.y };
        setCursor(next);
        say(`${whatLies(next, state)} at ${placeIn(state, next)}.`);
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
function whatLies(at: ViewPoint, { sketch, screen }: PageState): string {
  if (sketch && isInsidePath(sketch.openings, at, 'evenodd')) return 'A part that is cut';
  return screen && isInsidePath(screen.islands, at, 'evenodd') ? 'An island of film' : 'Film';
}

/** Whether the picture asks for an opening at a place. Its picture is read when somebody asks: few clicks do. */
async function isWantedCut(
  { x, y }: ViewPoint,
  { screen, sketch, history }: PageState,
): Promise<boolean> {
  if (!screen || !sketch) return true;
  const tone = new Image();
  tone.src = `data:image/png;base64,${screen.tonePng}`;
  await tone.decode();
  const [left, top] = [
    Math.floor((x / sketch.sheet.widthMm) * tone.width),
    Math.floor((y / sketch.sheet.heightMm) * tone.height),
  ];
  const context = Object.assign(document.createElement('canvas'), {
    width: 1,
    height: 1,
  }).getContext('2d');
  if (!context) return true;
  context.drawImage(tone, -left, -top);
  // What is light in the tone picture is clear.
  const isDark = context.getImageData(0, 0, 1, 1).data[3] > 0;
  return history.now.as === 'mask' ? !isDark : isDark;
}

/** Whether nothing is cut at a place and no island lies there: then only something left out can be meant. */
function isFilm(at: ViewPoint, { sketch, screen }: PageState): boolean {
  if (!sketch || !screen) return false;
  return (
    !isInsidePath(sketch.openings, at, 'evenodd') && !isInsidePath(screen.islands, at, 'evenodd')
  );
}
