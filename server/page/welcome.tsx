import { useEffect, useRef, useState } from 'preact/hooks';
import { api, type SampleInfo } from './api.js';
import { TypeWords } from './type-words.js';
import { Aims } from './aims.js';
import { errorMessage, type PageModel, type PageState } from './page-model.js';

/** What a new person sees: one place to put a picture, and a few to try with. */
export function Welcome({ model, state }: { model: PageModel; state: PageState }) {
  const { opening } = state;
  const [samples, setSamples] = useState<readonly SampleInfo[]>([]);
  const [over, setOver] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    api.samples().then(setSamples, (error: unknown) => model.tell(errorMessage(error)));
  }, [model]);
  return (
    <main class="welcome">
      <h1>Turn a picture into a stencil you can cut by hand</h1>
      <Aims model={model} state={state} onWords={toWords} />
      <div
        class={over ? 'drop over' : 'drop'}
        onDragOver={() => setOver(true)}
        onDragLeave={() => setOver(false)}
        onDrop={() => setOver(false)}
      >
        {opening === undefined ? (
          <>
            <p class="big">Drop a photo or a drawing here</p>
            <button class="main" onClick={() => input.current?.click()}>
              Choose a picture
            </button>
            <p class="quiet">
              or several, or paste one. It stays on this computer. JPEG, PNG, HEIC and most others.
            </p>
          </>
        ) : (
          <p class="big" role="status">
            Reading {opening} …
          </p>
        )}
        <input
          ref={input}
          type="file"
          multiple
          class="hidden"
          accept="image/*,.heic,.heif,.svg,.svgz,.json"
          aria-label="Choose a picture"
          tabIndex={-1}
          onChange={({ currentTarget }) => {
            void model.receive(...(currentTarget.files ?? []));
            currentTarget.value = '';
          }}
        />
      </div>
      <TypeWords model={model} />
      {samples.length > 0 && (
        <section class="samples" aria-label="Samples">
          <h2>Or try one of these</h2>
          <ul>
            {samples.map(({ name, title }) => (
              <li key={name}>
                <button
                  onClick={() => void model.openSample(name, title)}
                  disabled={opening !== undefined}
                >
                  <img src={`/api/samples/${name}/image`} alt="" loading="lazy" />
                  {title}
                </button>
              </li>
            ))}
          </ul>
        </section>
      )}
    </main>
  );
}

/** Where words are typed, further down. */
function toWords(): void {
  document.querySelector<HTMLElement>('.type-words textarea')?.focus();
}
