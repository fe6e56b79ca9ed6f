import type { PictureInfo } from './api.js';
import { StageView } from './stage-view.js';
import { PaintedLayers, type LayerShown } from './paint-layers.js';
import { saysOf, stageName, stageNames, type ShownStage } from './stages.js';
import { isWords } from './typed.js';
import type { PageState } from './page-model.js';

/** By stage: its key's number from 0. Words have no photo. */
const stagesOf = (picture: PictureInfo): (readonly [ShownStage, number])[] =>
  stageNames
    .map((name, i) => [name, i] as const)
    .filter(([name]) => name !== 'photo' || !isWords(picture));

interface StripProps {
  readonly state: PageState;
  readonly picture: PictureInfo;
  readonly stage: ShownStage;
  readonly layer: LayerShown;
  readonly onStage: (stage: ShownStage, layer?: LayerShown) => void;
}

/** Every stage side by side, small; one of them is shown large. Of layers: the photo, all of them, each sheet. */
export function Strip(props: StripProps) {
  return props.state.layers ? <LayersStrip {...props} /> : <StagesStrip {...props} />;
}

function StagesStrip({ state, picture, stage, onStage }: StripProps) {
  const sheet = state.sketch?.sheet;
  const as = (state.sketch?.strokeCount ?? 0) > 0 ? 'glue' : state.history.now.as;
  return (
    <nav class="strip" aria-label="Stages">
      {stagesOf(picture).map(([name, i]) => (
        <button
          key={name}
          aria-pressed={name === stage}
          onClick={() => onStage(name)}
          title={`${saysOf(name, as)} (key ${i + 1})`}
        >
          <span class="thumb">
            {sheet && (
              <svg viewBox={`0 0 ${sheet.widthMm} ${sheet.heightMm}`} aria-hidden="true">
                <StageView state={state} picture={picture} stage={name} />
              </svg>
            )}
          </span>
          {stageName(name, as)}
        </button>
      ))}
    </nav>
  );
}

function LayersStrip({ state, picture, stage, layer, onStage }: StripProps) {
  const { layered, sketch } = state;
  const sheet = sketch?.sheet;
  const shown: readonly LayerShown[] = ['all', ...(layered?.layers.keys() ?? [])];
  const viewBox = sheet && `0 0 ${sheet.widthMm} ${sheet.heightMm}`;
  return (
    <nav class="strip" aria-label="Layers">
      {!isWords(picture) && (
        <button aria-pressed={stage === 'photo'} onClick={() => onStage('photo')}>
          <span class="thumb">
            {sheet && (
              <svg viewBox={viewBox} aria-hidden="true">
                <StageView state={state} picture={picture} stage="photo" />
              </svg>
            )}
          </span>
          Photo
        </button>
      )}
      {shown.map((one) => (
        <button
          key={one}
          aria-pressed={stage !== 'photo' && layer === one}
          onClick={() => onStage('print', one)}
        >
          <span class="thumb">
            {layered && (
              <svg viewBox={viewBox} aria-hidden="true">
                <PaintedLayers state={state} shown={one} />
              </svg>
            )}
          </span>
          {one === 'all' ? 'All painted' : `Sheet ${one + 1}`}
        </button>
      ))}
    </nav>
  );
}
