import { useEffect, useRef, useState } from 'preact/hooks';
import { MM_PER_INCH } from '../../src/settings/card.js';

/** ISO/IEC 7810, ID-1: the size of bank and identity cards, in mm. */
const CARD = { width: 85.6, height: 53.98 } as const;
/** CSS px a mm: 96 px an inch (CSS Values and Units Level 3, W3C, 5.2); few screens are so. */
const NOMINAL = 96 / MM_PER_INCH;
const KEY = 'stencilwright.pxPerMm';

/** CSS px a mm of this screen, once it was measured. */
export function knownScale(): number | undefined {
  const value = Number(localStorage.getItem(KEY));
  return value > 1 && value < 40 ? value : undefined;
}

/** Asks a person to match a bank card on the screen. */
export function Calibrate(props: { onDone: (pxPerMm: number) => void; onLeave: () => void }) {
  const { onDone, onLeave } = props;
  const dialog = useRef<HTMLDialogElement>(null);
  const [pxPerMm, setPxPerMm] = useState(knownScale() ?? NOMINAL);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} class="calibrate" aria-labelledby="calibrate-title" onClose={onLeave}>
      <h2 id="calibrate-title">How large is your screen?</h2>
      <p>
        Hold a bank card against the screen and move the slider until the shape is as large as the
        card. You do this once.
      </p>
      <div class="match">
        <svg
          width={CARD.width * pxPerMm}
          height={CARD.height * pxPerMm}
          viewBox={`0 0 ${CARD.width} ${CARD.height}`}
          aria-hidden="true"
        >
          <rect width={CARD.width} height={CARD.height} rx="3.18" />
        </svg>
      </div>
      <label>
        Size of the shape
        <input
          type="range"
          min="2"
          max="12"
          step="0.01"
          value={pxPerMm}
          onInput={({ currentTarget }) => setPxPerMm(currentTarget.valueAsNumber)}
        />
      </label>
      <p class="row">
        <button class="plain" onClick={onLeave}>
          Leave it
        </button>
        <button
          class="main"
          onClick={() => {
            localStorage.setItem(KEY, String(pxPerMm));
            onDone(pxPerMm);
          }}
        >
          It matches
        </button>
      </p>
    </dialog>
  );
}
