import { isEdited, middle, pinBridge, removeBridge } from './edit.js';
import type { EditingTool } from './editing-tool.js';
import { placeIn } from './place-in-words.js';
import { counted } from './labels.js';
import type { PageState, PageModel } from './page-model.js';

/** The bridges in words, each to be kept or removed; and the way to their editors. */
export function BridgeList(props: {
  model: PageModel;
  state: PageState;
  onTool: (tool: EditingTool) => void;
}) {
  const { model, state, onTool } = props;
  const bridges = state.sketch?.bridges ?? [];
  const job = state.history.now;
  return (
    <div class="bridge-list">
      <p class="row">
        <button class="plain" onClick={() => onTool('bridges')}>
          Edit bridges on the picture
        </button>
        <button class="plain" onClick={() => onTool('regions')}>
          Leave out or keep single parts
        </button>
        <button class="plain" onClick={() => onTool('areas')}>
          Draw areas without bridges
        </button>
      </p>
      {bridges.length > 0 && (
        <details>
          <summary>{counted(bridges.length, 'bridge')}, one by one</summary>
          <ul>
            {bridges.map((bridge, i) => {
              const where = `at ${placeIn(state, middle(bridge))}`;
              return (
                <li key={i}>
                  <span>
                    {i + 1}. {where}
                    {isEdited(job, bridge) && ' (yours)'}
                  </span>
                  <button class="link" onClick={() => model.replace(removeBridge(job, bridge))}>
                    Remove<span class="hidden-text"> the bridge {where}</span>
                  </button>
                  {!isEdited(job, bridge) && (
                    <button class="link" onClick={() => model.replace(pinBridge(job, bridge))}>
                      Keep<span class="hidden-text"> the bridge {where} as it lies</span>
                    </button>
                  )}
                </li>
              );
            })}
          </ul>
        </details>
      )}
    </div>
  );
}
