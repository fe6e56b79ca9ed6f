import { memo } from './memo.js';
import { settings } from '../../src/settings/job.js';
import type { PictureInfo } from './api.js';
import { rectifiedPhoto } from './rectified-photo.js';
import type { ShownStage } from './stages.js';
import { isWords } from './typed.js';
import type { PageState } from './page-model.js';

/** What a stage looks like on the sheet; SVG in mm. */
export function StageView({
  state,
  picture,
  stage,
}: {
  state: PageState;
  picture: PictureInfo;
  stage: ShownStage;
}) {
  const { sketch, screen, draft, history, print } = state;
  if (!sketch) return null;
  const { sheet } = sketch;
  const job = draft ?? history.now;
  const ground = job.ground ?? settings.ground.default;
  const paint = job.paint ?? settings.paint.default;
  // While a control moves, only what is cut is known.
  const isCoarse = sketch !== screen;
  const asked = stage === 'photo' && isWords(picture) ? 'tone' : stage;
  const shown = isCoarse && asked !== 'photo' && asked !== 'print' ? 'bridged' : asked;
  const isGlue = sketch.strokes !== '';
  const whole = { x: 0, y: 0, width: sheet.widthMm, height: sheet.heightMm };
  return (
    <>
      <rect {...whole} fill={shown === 'print' ? ground : '#fdfcf9'} />
      {shown === 'photo' && <Photo state={state} picture={picture} />}
      {shown === 'tone' && screen && <Png data={screen.tonePng} {...whole} />}
      {shown === 'widened' && screen && <Png data={screen.widenPng} {...whole} />}
      {isGlue && (shown === 'eased' || shown === 'bridged') && (
        <GlueLines d={sketch.strokes} beadMm={job.beadWidth ?? settings.beadWidth.default} />
      )}
      {!isGlue && shown === 'eased' && screen && (
        <>
          <path class="ink" d={screen.eased} />
          <path class="island" d={screen.islands} />
        </>
      )}
      {!isGlue && shown === 'bridged' && (
        <>
          <Openings d={sketch.openings} class="ink" />
          <path class="loose" d={sketch.loose} />
        </>
      )}
      {shown === 'print' && (
        <>
          <path d={sketch.openings} fill={paint} fill-rule="evenodd" />
          {!isCoarse && !state.working && print !== undefined && (
            <Print href={print} {...whole} isPair={isGlue || sketch.packet !== undefined} />
          )}
        </>
      )}
    </>
  );
}

/** Between the two prints of a preview that has two, in mm. */
const PRINT_GAP_MM = 6;

/** The print; that of a folded sheet or of glue has a second one beside it, out of sight. */
function Print(props: {
  href: string;
  x: number;
  y: number;
  width: number;
  height: number;
  isPair: boolean;
}) {
  const { href, isPair, ...whole } = props;
  const { width, height } = whole;
  if (!isPair) return <image href={href} {...whole} preserveAspectRatio="none" />;
  return (
    <svg {...whole} viewBox={`0 0 ${width} ${height}`}>
      <image
        href={href}
        width={2 * width + PRINT_GAP_MM}
        height={height}
        preserveAspectRatio="none"
      />
    </svg>
  );
}

/** Lines of glue as wide as they are, their middles dark. */
const GlueLines = memo(({ d, beadMm }: { d: string; beadMm: number }) => (
  <g fill="none" stroke-linecap="round" stroke-linejoin="round">
    <path d={d} stroke="#d3d3d9" stroke-width={beadMm} />
    <path d={d} stroke="#1c1c1e" stroke-width="0.4" />
  </g>
));

const Openings = memo((props: { d: string; class: string }) => (
  <path {...props} fill-rule="evenodd" />
));

const Png = memo(
  ({ data, ...whole }: { data: string; x: number; y: number; width: number; height: number }) => (
    <image
      class="pixels"
      href={`data:image/png;base64,${data}`}
      {...whole}
      preserveAspectRatio="none"
    />
  ),
);

/** The picture in its box on the sheet, cropped as the job says. */
export function Photo({ state, picture }: { state: PageState; picture: PictureInfo }) {
  const { sketch, draft, history } = state;
  if (!sketch) return null;
  const { pictureBox } = sketch;
  const job = draft ?? history.now;
  const { crop, fit } = job;
  const photo = rectifiedPhoto(picture, job, state);
  const [left, top, width, height] = cropOf(crop);
  const part = { width: (photo.width * width) / 100, height: (photo.height * height) / 100 };
  const scale =
    fit === 'fill'
      ? Math.max(pictureBox.width / part.width, pictureBox.height / part.height)
      : Math.min(pictureBox.width / part.width, pictureBox.height / part.height);
  const at = {
    x: pictureBox.x + pictureBox.width / 2 - scale * ((photo.width * left) / 100 + part.width / 2),
    y:
      pictureBox.y + pictureBox.height / 2 - scale * ((photo.height * top) / 100 + part.height / 2),
  };
  return (
    <svg
      x={pictureBox.x}
      y={pictureBox.y}
      width={pictureBox.width}
      height={pictureBox.height}
      viewBox={`${pictureBox.x} ${pictureBox.y} ${pictureBox.width} ${pictureBox.height}`}
      preserveAspectRatio="none"
    >
      <image
        href={photo.url}
        {...at}
        width={photo.width * scale}
        height={photo.height * scale}
        preserveAspectRatio="none"
      />
    </svg>
  );
}

/** The whole picture: left, top, width and height in percent. */
const WHOLE = [0, 0, 100, 100] as const;

/** Left, top, width and height in percent. */
export function cropOf(crop: string | null | undefined): readonly [number, number, number, number] {
  const numbers = (crop ?? '').split(',').map(Number);
  const [left, top, width, height] = numbers;
  return numbers.length === 4 && numbers.every(Number.isFinite)
    ? [left, top, width, height]
    : WHOLE;
}
