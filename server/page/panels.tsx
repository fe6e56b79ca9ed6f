import { useEffect, useState } from 'preact/hooks';
import type { SettingGroup } from '../../src/settings/job.js';
import type { PictureInfo } from './api.js';
import { CardPicker } from './card-picker.js';
import { BridgeList } from './bridge-list.js';
import { Control } from './control.js';
import { FoldViews } from './fold-views.js';
import type { EditingTool } from './editing-tool.js';
import { LayersPanel } from './paint-layers.js';
import { TonePanel } from './tone-panel.js';
import { WordsPanel } from './words-panel.js';
import { settingGroups } from './labels.js';
import type { PageState, PageModel } from './page-model.js';

/** What stands beside each heading: a new one has to have its words. */
const SAYS: Readonly<Record<SettingGroup, string>> = {
  Card: 'How large it is',
  Picture: 'How it lies on the card',
  Subject: 'What it is of, and its background',
  Repeat: 'The picture as a motif',
  Fold: 'All layers cut at once',
  'Dark and light': 'What becomes dark, and is cut',
  Cutting: 'Your tool and its limits',
  Glue: 'Your glue gun, for lines of glue',
  Time: 'How long your hand takes',
  Bridges: 'What holds the islands',
  Print: 'Paper and colours',
};

/** What a person may set first; the rest stays folded until it is asked for. */
const OPEN: readonly SettingGroup[] = ['Dark and light', 'Card'];
/** Set by the aims, and by the paints of the layers: each its own panel, once it is wanted. */
const OF_AIMS: Readonly<Partial<Record<SettingGroup, (state: PageState) => boolean>>> = {
  Repeat: ({ history }) => (history.now.repeat ?? 'none') !== 'none',
  Fold: ({ history }) => (history.now.fold ?? 'none') !== 'none',
  Glue: ({ history }) => history.now.as === 'glue-line',
};
const FIRST: readonly SettingGroup[] = ['Dark and light'];

/** As in the stylesheet: there is no room for a second column. */
const NARROW = '(max-width: 59.99rem)';
const isNarrow = (): boolean => window.matchMedia(NARROW).matches;

/** What words alone have nothing of, or can't be. */
const WITHOUT_FOR_WORDS: readonly SettingGroup[] = ['Picture', 'Subject', 'Fold', 'Glue'];

/** Every setting, under its heading. New ones appear by themselves. */
export function Panels(props: {
  model: PageModel;
  state: PageState;
  picture: PictureInfo;
  onTool: (tool: EditingTool) => void;
}) {
  const { model, state, picture, onTool } = props;
  const { words } = state.history.now;
  const groups = settingGroups()
    .filter(
      ([group]) =>
        !words ||
        !(
          WITHOUT_FOR_WORDS.includes(group) ||
          (group === 'Dark and light' && words.picture === undefined)
        ),
    )
    .sort(([a], [b]) => Number(FIRST.includes(b)) - Number(FIRST.includes(a)));
  const of = (group: SettingGroup): boolean => OF_AIMS[group]?.(state) === true;
  const [open, setOpen] = useState<readonly SettingGroup[]>(isNarrow() ? FIRST : OPEN);
  // The panel of an aim opens when it is chosen, and closes with it.
  for (const group of Object.keys(OF_AIMS) as SettingGroup[]) {
    const isOf = of(group);
    useEffect(
      () =>
        setOpen((now) => {
          const others = now.filter((each) => each !== group);
          return isOf ? [...(isNarrow() ? [] : others), group] : others;
        }),
      [isOf],
    );
  }
  /** Where there is room for one alone, another gives way to it. */
  const turn = (panel: HTMLDetailsElement, group: SettingGroup) => {
    const isOpen = !panel.open;
    panel.open = isOpen;
    const others = isNarrow() && isOpen ? [] : open.filter((each) => each !== group);
    setOpen(isOpen ? [...others, group] : others);
  };
  return (
    <div class="panels">
      <LayersPanel model={model} state={state} />
      {words && <WordsPanel model={model} state={state} words={words} />}
      {groups.map(([group, names]) => (
        <details key={group} open={open.includes(group)}>
          <summary
            onClick={(event) => {
              event.preventDefault();
              turn(event.currentTarget.parentElement as HTMLDetailsElement, group);
            }}
          >
            <h2>{group}</h2>
            <span>{SAYS[group]}</span>
          </summary>
          {group === 'Dark and light' && !words && (
            <TonePanel key={picture.id} model={model} state={state} picture={picture} />
          )}
          {group === 'Card' && <CardPicker model={model} state={state} />}
          {group === 'Fold' && <FoldViews model={model} state={state} />}
          {group === 'Bridges' && <BridgeList model={model} state={state} onTool={onTool} />}
          <Folded folded={group === 'Dark and light'}>
            {names.map((name) => (
              <Control key={name} name={name} model={model} state={state} onTool={onTool} />
            ))}
          </Folded>
        </details>
      ))}
    </div>
  );
}

/** Controls, folded away where there is something plainer to choose by. */
function Folded({ folded, children }: { folded: boolean; children: preact.ComponentChildren }) {
  const controls = <div class="controls">{children}</div>;
  if (!folded) return controls;
  return (
    <details class="by-numbers">
      <summary>Set it by numbers</summary>
      {controls}
    </details>
  );
}
