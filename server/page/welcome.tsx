import { useEffect, useRef, useState } from 'preact/hooks';
import { api, type SampleInfo } from './api.js';
import { TypeWords } from './type-words.js';
import { inWords, type PageState } from './work.js';

/** What a new person sees: one place to put a picture, and a few to try with. */
export function Welcome({ work, opening }: { work: PageState; opening: string | undefined }) {
  const [samples, setSamples] = useState<readonly SampleInfo[]>([]);
  const [over, setOver] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    api.samples().then(setSamples, (error: unknown) => work.tell(inWords(error)));
  }, [work]);
  return (
    <main class="welcome">
      <h1>Turn a picture into a stencil you can cut by hand</h1>
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
              or paste one. It stays on this computer. JPEG, PNG, HEIC and most others.
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
          class="hidden"
          accept="image/*,.heic,.heif,.svg,.svgz,.json"
          aria-label="Choose a picture"
          tabIndex={-1}
          onChange={({ currentTarget }) => {
            const file = currentTarget.files?.[0];
            if (file) void work.receive(file);
            currentTarget.value = '';
          }}
        />
      </div>
      <TypeWords work={work} />
      {samples.length > 0 && (
        <section class="samples" aria-label="Samples">
          <h2>Or try one of these</h2>
          <ul>
            {samples.map(({ name, title }) => (
              <li key={name}>
                <button
                  onClick={() => void work.openSample(name, title)}
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
