import { useState } from 'preact/hooks';
import type { PageModel, Tray } from './page-model.js';

/** Several pictures that were given together: gone through one by one, and taken away as one folder. */
export function TrayBar({ model, tray }: { model: PageModel; tray: Tray }) {
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
              onClick={() => void model.turnTo(place)}
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
          onChange={({ currentTarget }) => model.shareSettings(currentTarget.checked)}
        />
        Same settings for all
      </label>
      <button
        class="main"
        disabled={isPacking}
        onClick={() => {
          setIsPacking(true);
          void model.takeTray().finally(() => setIsPacking(false));
        }}
      >
        {isPacking ? 'Packing …' : `Download all ${pictures.length}`}
      </button>
    </nav>
  );
}
