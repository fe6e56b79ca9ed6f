import { useState } from 'preact/hooks';
import type { PageState, Tray } from './work.js';

/** Several pictures that were given together: gone through one by one, and taken away as one folder. */
export function TrayBar({ work, tray }: { work: PageState; tray: Tray }) {
  const [isPacking, setIsPacking] = useState(false);
  const { pictures, shown, isShared } = tray;
  return (
    <nav class="tray" aria-label="Your pictures">
      <ul>
        {pictures.map(({ key, name }, place) => (
          <li key={key}>
            <button
              class="plain"
              aria-current={place === shown ? 'true' : undefined}
              onClick={() => void work.turnTo(place)}
            >
              {name}
            </button>
          </li>
        ))}
      </ul>
      <label class="row">
        <input
          type="checkbox"
          class="switch"
          checked={isShared}
          onChange={({ currentTarget }) => work.shareSettings(currentTarget.checked)}
        />
        Same settings for all
      </label>
      <button
        class="main"
        disabled={isPacking}
        onClick={() => {
          setIsPacking(true);
          void work.takeTray().finally(() => setIsPacking(false));
        }}
      >
        {isPacking ? 'Packing …' : `Download all ${pictures.length}`}
      </button>
    </nav>
  );
}
