import { useEffect, useState } from 'preact/hooks';
import type { EditingTool } from './editing-tool.js';
import { Large } from './large.js';
import { Panels } from './panels.js';
import { stageNames, type ShownStage } from './stages.js';
import { Strip } from './strip.js';
import { Take } from './take.js';
import { Verdict } from './verdict.js';
import { Welcome } from './welcome.js';
import type { ViewPoint } from './viewport.js';
import type { PageState } from './work.js';

/** The whole page. */
export function Page({ work }: { work: PageState }) {
  const [state, setState] = useState(work.state);
  const [stage, setStage] = useState<ShownStage>('print');
  const [tool, setTool] = useState<EditingTool>('look');
  const [goal, setGoal] = useState<ViewPoint | undefined>();
  useEffect(() => {
    const stop = work.listen(setState);
    setState(work.state);
    return () => void stop();
  }, [work]);
  useKeys(work, setStage);
  useDrops(work);
  const { picture, trouble, opening, history } = state;

  const choose = (next: EditingTool) => {
    setTool(next);
    // Whoever is done with the photo wants to see what became of it.
    if (next === 'look' && (tool === 'crop' || tool === 'subject' || tool === 'faces'))
      setStage('bridged');
    if (next === 'strokes' || next === 'bridges' || next === 'regions' || next === 'areas')
      setStage('bridged');
    if (next === 'crop' || next === 'subject' || next === 'faces') setStage('photo');
  };
  const show = (next: ShownStage) => {
    setStage(next);
    setTool('look');
  };
  useEffect(() => setTool('look'), [picture?.id]);

  return (
    <>
      <header class="top">
        <button class="name" onClick={() => work.leave()} title="Begin with another picture">
          stencilwright
        </button>
        {picture && <h1 class="title">{picture.name}</h1>}
        <span class="grow" />
        {picture && (
          <>
            <button
              class="plain"
              disabled={history.past.length === 0}
              onClick={work.undo}
              title="Take back the last change (Ctrl+Z)"
            >
              <Arrow turn /> <span>Undo</span>
            </button>
            <button
              class="plain"
              disabled={history.future.length === 0}
              onClick={work.redo}
              title="Do it again (Ctrl+Shift+Z)"
            >
              <Arrow /> <span>Redo</span>
            </button>
          </>
        )}
      </header>
      {trouble && (
        <div class="trouble" role="alert">
          <p>
            <strong>{trouble.what}.</strong> {trouble.remedy}.
          </p>
          <button class="plain" onClick={work.hush} aria-label="Close this message">
            ✕
          </button>
        </div>
      )}
      {picture ? (
        <main class="bench" aria-busy={state.working || state.draft !== undefined}>
          <section class="hero" aria-label="The stencil">
            <Large
              work={work}
              state={state}
              picture={picture}
              stage={stage}
              tool={tool}
              onTool={choose}
              goal={goal}
            />
            <Strip state={state} picture={picture} stage={stage} onStage={show} />
          </section>
          <aside class="side" aria-label="Settings and result">
            <Verdict work={work} state={state} onFind={setGoal} />
            <Take work={work} state={state} />
            <Panels work={work} state={state} picture={picture} onTool={choose} />
          </aside>
        </main>
      ) : (
        <Welcome work={work} opening={opening} />
      )}
      {picture && opening !== undefined && (
        <p class="floating" role="status">
          Reading {opening} …
        </p>
      )}
    </>
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
    target.matches('input:not([type=range],[type=radio],[type=checkbox]), textarea, select')
  );
}

function useKeys(work: PageState, setStage: (stage: ShownStage) => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (isTyping(event.target)) return;
      const key = event.key.toLowerCase();
      if (event.ctrlKey || event.metaKey) {
        if (key === 'z' && !event.shiftKey) work.undo();
        else if (key === 'z') work.redo();
        else if (key === 'y') work.redo();
        else return;
        event.preventDefault();
      } else if (/^[1-6]$/.test(key) && !event.altKey && work.state.picture) {
        setStage(stageNames[Number(key) - 1]);
      }
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [work, setStage]);
}

/** A picture or a job file may be dropped anywhere, and a picture pasted. */
function useDrops(work: PageState): void {
  useEffect(() => {
    const take = (file: File | undefined | null) => {
      if (file) void work.receive(file);
    };
    const onOver = (event: DragEvent) => event.preventDefault();
    const onDrop = (event: DragEvent) => {
      event.preventDefault();
      take(event.dataTransfer?.files[0]);
    };
    const onPaste = (event: ClipboardEvent) => {
      const files = [...(event.clipboardData?.files ?? [])];
      take(files.find(({ type }) => type.startsWith('image/')) ?? files[0]);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('drop', onDrop);
    window.addEventListener('paste', onPaste);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('drop', onDrop);
      window.removeEventListener('paste', onPaste);
    };
  }, [work]);
}
