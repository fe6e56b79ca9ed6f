import type { PictureInfo } from './api.js';
import { Layers } from './layers.js';
import { labelOf } from './words.js';
import { saysOf, stageNames, type ShownStage } from './stages.js';
import { isWords } from './typed.js';
import type { State } from './work.js';

/** By stage: its key's number from 0. Words have no photo. */
const stagesOf = (picture: PictureInfo): (readonly [ShownStage, number])[] =>
  stageNames
    .map((name, i) => [name, i] as const)
    .filter(([name]) => name !== 'photo' || !isWords(picture));

/** Every stage side by side, small; one of them is shown large. */
export function Strip(props: {
  state: State;
  picture: PictureInfo;
  stage: ShownStage;
  onStage: (stage: ShownStage) => void;
}) {
  const { state, picture, stage, onStage } = props;
  const sheet = state.sketch?.sheet;
  const isGlue = (state.sketch?.strokeCount ?? 0) > 0;
  return (
    <nav class="strip" aria-label="Stages">
      {stagesOf(picture).map(([name, i]) => (
        <button
          key={name}
          aria-pressed={name === stage}
          onClick={() => onStage(name)}
          title={`${saysOf(name, isGlue)} (key ${i + 1})`}
        >
          <span class="thumb">
            {sheet && (
              <svg viewBox={`0 0 ${sheet.widthMm} ${sheet.heightMm}`} aria-hidden="true">
                <Layers state={state} picture={picture} stage={name} />
              </svg>
            )}
          </span>
          {isGlue && name === 'bridged' ? 'Lines' : labelOf(name)}
        </button>
      ))}
    </nav>
  );
}
