import { useEffect, useRef, useState } from 'preact/hooks';
import { Aims } from './aims.js';
import { keepFocus } from './focus-keeper.js';
import type { LayerShown } from './paint-layers.js';
import { TrayBar } from './tray.js';
import { isPhotoTool, stencilTools, type EditingTool } from './editing-tool.js';
import { Large } from './large.js';
import { Panels } from './panels.js';
import { stageNames, type ShownStage } from './stages.js';
import { Strip } from './strip.js';
import { Take } from './take.js';
import { leadOf, Verdict } from './verdict.js';
import { Welcome } from './welcome.js';
import type { ViewPoint } from './viewport.js';
import type { PageModel, PageState } from './page-model.js';

/** The whole page. */
export function Page({ model }: { model: PageModel }) {
  const [state, setState] = useState(model.state);
  const [stage, setStage] = useState<ShownStage>('print');
  const [layer, setLayer] = useState<LayerShown>('all');
  const [tool, setTool] = useState<EditingTool>('look');
  const [goal, setGoal] = useState<ViewPoint | undefined>();
  const whole = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const stop = model.listen(setState);
    setState(model.state);
    return () => void stop();
  }, [model]);
  useEffect(() => (whole.current ? keepFocus(whole.current) : undefined), []);
  const { picture, layers, tray } = state;

  const choose = (next: EditingTool) => {
    setTool(next);
    setGoal(undefined);
    // Whoever is done with the photo wants to see what became of it.
    if (next === 'look' && isPhotoTool(tool)) setStage('bridged');
    if (stencilTools.includes(next)) setStage('bridged');
    if (isPhotoTool(next)) setStage('photo');
  };
  /** A stage is looked at: no tool of another one stays in hand. */
  const show = (next: ShownStage, shown: LayerShown = 'all') => {
    setStage(next);
    setLayer(shown);
    setTool('look');
    setGoal(undefined);
  };
  const find = (at: ViewPoint) => {
    show('bridged');
    setGoal({ ...at });
  };
  useKeys(model, show);
  useDrops(model);
  useEffect(() => show('print'), [picture?.id, layers === undefined]);
  const { lead } = leadOf(state);
  useEffect(() => {
    document.title = picture ? `${picture.name}: ${lead} – stencilwright` : 'stencilwright';
  }, [picture, lead]);

  return (
    <div class="whole" ref={whole}>
      <TopBar model={model} state={state} />
      {picture && tray && <TrayBar model={model} tray={tray} />}
      {picture ? (
        <main class={tray ? 'bench with-tray' : 'bench'} aria-busy={isBusy(state)}>
          <section class="hero" aria-label="The stencil">
            <Aims model={model} state={state} />
            <Large
              model={model}
              state={state}
              picture={picture}
              stage={stage}
              layer={layer}
              tool={tool}
              onTool={choose}
              goal={goal}
            />
            <Strip state={state} picture={picture} stage={stage} layer={layer} onStage={show} />
          </section>
          <aside class="side" aria-label="Settings and result">
            <Verdict model={model} state={state} onFind={find} />
            <Take model={model} state={state} />
            <Panels model={model} state={state} picture={picture} onTool={choose} />
          </aside>
        </main>
      ) : (
        <Welcome model={model} state={state} />
      )}
      <Messages model={model} state={state} />
    </div>
  );
}

/** The name of the page, which leads to its beginning, of the picture, and steps back and forth. */
function TopBar({ model, state: { picture, history } }: { model: PageModel; state: PageState }) {
  return (
    <header class="top">
      <button
        class="name"
        onClick={() => model.leave()}
        title="Begin with another picture; Back comes back to this one"
      >
        stencilwright
      </button>
      {picture && <h1 class="title">{picture.name}</h1>}
      <span class="grow" />
      {picture && (
        <>
          <Step
            label="Undo"
            says="Take back the last change (Ctrl+Z)"
            isThere={history.past.length > 0}
            onClick={model.undo}
          />
          <Step
            label="Redo"
            says="Do it again (Ctrl+Shift+Z)"
            isThere={history.future.length > 0}
            onClick={model.redo}
          />
        </>
      )}
    </header>
  );
}

/** What went wrong, and what is being read; over the page, so that nothing moves. */
function Messages({ model, state }: { model: PageModel; state: PageState }) {
  const { picture, trouble, opening } = state;
  return (
    <>
      {trouble && (
        <div class="trouble" role="alert">
          <p>
            <strong>{trouble.what}.</strong> {trouble.remedy}.
          </p>
          <button class="plain" onClick={model.hush} aria-label="Close this message">
            ✕
          </button>
        </div>
      )}
      {picture && opening !== undefined && (
        <p class="floating" role="status">
          Reading {opening} …
        </p>
      )}
    </>
  );
}

const isBusy = ({ working, draft }: PageState): boolean => working || draft !== undefined;

/** A step back or forth. It keeps the focus where there is none to go: who pressed it may go on pressing. */
function Step(props: {
  label: 'Undo' | 'Redo';
  says: string;
  isThere: boolean;
  onClick: () => void;
}) {
  const { label, says, isThere, onClick } = props;
  return (
    <button
      class="plain"
      aria-disabled={!isThere}
      title={says}
      onClick={() => isThere && onClick()}
    >
      <Arrow turn={label === 'Undo'} /> <span>{label}</span>
    </button>
  );
}

function Arrow({ turn = false }: { turn?: boolean }) {
  return (
    <svg class={turn ? 'arrow turned' : 'arrow'} viewBox="0 0 16 16" aria-hidden="true">
      <path d="M10 3l3.500 3.500L10 10M13 6.500H6a3.500 3.500 0 000 7h2" />
    </svg>
  );
}

function isTyping(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    target.matches(
      'input:not([type=range],[type=radio],[type=checkbox],[type=color]), textarea, select',
    )
  );
}

function useKeys(model: PageModel, show: (stage: ShownStage) => void): void {
  const latest = useRef(show);
  latest.current = show;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (isTyping(event.target)) return;
      const key = event.key.toLowerCase();
      if (event.ctrlKey || event.metaKey) {
        if (key === 'z' && !event.shiftKey) model.undo();
        else if (key === 'z') model.redo();
        else if (key === 'y') model.redo();
        else return;
        event.preventDefault();
      } else if (/^[1-6]$/.test(key) && !event.altKey && model.state.picture) {
        latest.current(stageNames[Number(key) - 1]);
      }
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [model]);
}

/** A picture or a job file may be dropped anywhere, and a picture pasted. */
function useDrops(model: PageModel): void {
  useEffect(() => {
    const onOver = (event: DragEvent) => event.preventDefault();
    const onDrop = (event: DragEvent) => {
      event.preventDefault();
      void model.receive(...(event.dataTransfer?.files ?? []));
    };
    const onPaste = (event: ClipboardEvent) => {
      const files = [...(event.clipboardData?.files ?? [])];
      const file = files.find(({ type }) => type.startsWith('image/')) ?? files.at(0);
      if (file) void model.receive(file);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('drop', onDrop);
    window.addEventListener('paste', onPaste);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('drop', onDrop);
      window.removeEventListener('paste', onPaste);
    };
  }, [model]);
}
