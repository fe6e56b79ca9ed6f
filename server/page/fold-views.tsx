import { useState } from 'preact/hooks';
import type { Sketch } from '../../src/index.js';
import type { PageState, PageModel } from './page-model.js';

/** The setting's numbers: from the left and the top of the packet, size in percent, and degrees. */
type FoldPlace = readonly [across: number, down: number, size: number, degrees: number];

/** Percent and degrees that a key or a step of a slider moves the picture by. */
const STEP = { place: 2, size: 5, degrees: 5 } as const;
/** The sizes that the slider has, in percent. */
const SIZES = { min: 20, max: 300 } as const;

/** The packet and the opened sheet side by side: drag the picture in the packet, step through the cuts. */
export function FoldViews({ model, state }: { model: PageModel; state: PageState }) {
  const [after, setAfter] = useState<number | undefined>();
  const { sketch } = state;
  const packet = sketch?.packet;
  if (!sketch || !packet) return null;
  const shown = Math.min(after ?? packet.cuts.length, packet.cuts.length);
  const place = packet.place as FoldPlace | undefined;
  const put = ([x, y, size, degrees]: FoldPlace, isLive: boolean) =>
    model.set({ foldPlace: [x, y, Math.max(1, size), degrees].map(Math.round).join(',') }, isLive);
  return (
    <div class="fold-views">
      <figure>
        <PacketView packet={packet} shown={shown} place={place} onPlace={put} />
        <figcaption>Packet{place ? ': drag the picture' : ''}</figcaption>
      </figure>
      <figure>
        <OpenedView sketch={sketch} packet={packet} shown={shown} />
        <figcaption>Opened</figcaption>
      </figure>
      <label>
        After cut {shown} of {packet.cuts.length}
        <input
          type="range"
          min={0}
          max={packet.cuts.length}
          value={shown}
          onInput={({ currentTarget }) => setAfter(Number(currentTarget.value))}
        />
      </label>
      {place && (
        <>
          <PlaceSlider
            label="Size in the packet"
            unit="%"
            at={2}
            place={place}
            range={SIZES}
            step={STEP.size}
            onPlace={put}
          />
          <PlaceSlider
            label="Turn"
            unit="°"
            at={3}
            place={place}
            range={{ min: -180, max: 360 }}
            step={STEP.degrees}
            onPlace={put}
          />
        </>
      )}
    </div>
  );
}

type Packet = NonNullable<Sketch['packet']>;
type OnPlace = (place: FoldPlace, isLive: boolean) => void;

function PlaceSlider(props: {
  label: string;
  unit: string;
  at: 2 | 3;
  place: FoldPlace;
  range: { readonly min: number; readonly max: number };
  step: number;
  onPlace: OnPlace;
}) {
  const { label, unit, at, place, range, step, onPlace } = props;
  const given = (value: string): FoldPlace =>
    place.map((own, i) => (i === at ? Number(value) : own)) as unknown as FoldPlace;
  return (
    <label>
      {label}: {Math.round(place[at])} {unit}
      <input
        type="range"
        {...range}
        step={step}
        value={Math.round(place[at])}
        onInput={({ currentTarget }) => onPlace(given(currentTarget.value), true)}
        onChange={({ currentTarget }) => onPlace(given(currentTarget.value), false)}
      />
    </label>
  );
}

/** Room between the packet and the view's edge, as a share of the packet's size. By eye. */
const AIR = 0.06;

function PacketView(props: {
  packet: Packet;
  shown: number;
  place: FoldPlace | undefined;
  onPlace: OnPlace;
}) {
  const { packet, shown, place, onPlace } = props;
  const { box } = packet;
  const air = AIR * Math.max(box.width, box.height);
  const [from, setFrom] = useState<{ x: number; y: number; place: FoldPlace } | undefined>();
  const moved = (event: PointerEvent & { currentTarget: SVGSVGElement }): FoldPlace | undefined => {
    if (!from) return undefined;
    const { width, height } = event.currentTarget.getBoundingClientRect();
    const perPx = Math.max((box.width + 2 * air) / width, (box.height + 2 * air) / height);
    const across = (100 * (event.clientX - from.x) * perPx) / box.width;
    const down = (100 * (event.clientY - from.y) * perPx) / box.height;
    return [from.place[0] + across, from.place[1] + down, from.place[2], from.place[3]];
  };
  const keys: Readonly<Record<string, readonly [number, number]>> = {
    ArrowLeft: [-STEP.place, 0],
    ArrowRight: [STEP.place, 0],
    ArrowUp: [0, -STEP.place],
    ArrowDown: [0, STEP.place],
  };
  return (
    <svg
      class={place ? 'packet movable' : 'packet'}
      viewBox={[box.x - air, box.y - air, box.width + 2 * air, box.height + 2 * air].join(' ')}
      {...(place && { tabindex: 0, role: 'application' })}
      aria-label={
        place
          ? 'The packet. Drag the picture in it, or move it with the arrow keys.'
          : 'The packet with its cuts.'
      }
      onPointerDown={(event) => {
        if (!place) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        setFrom({ x: event.clientX, y: event.clientY, place });
      }}
      onPointerMove={(event) => {
        const next = moved(event);
        if (next) onPlace(next, true);
      }}
      onPointerUp={(event) => {
        const next = moved(event);
        setFrom(undefined);
        if (next) onPlace(next, false);
      }}
      onPointerCancel={() => setFrom(undefined)}
      onKeyDown={(event) => {
        const step = keys[event.key];
        if (!place || !step) return;
        event.preventDefault();
        onPlace([place[0] + step[0], place[1] + step[1], place[2], place[3]], false);
      }}
    >
      <path class="paper" d={packet.outline} />
      {packet.cuts.map((piece, i) => (
        <path key={i} class={i < shown ? 'gone' : 'kept'} fill-rule="evenodd" d={piece} />
      ))}
      <path class="folds" d={packet.folds} />
    </svg>
  );
}

function OpenedView({ sketch, packet, shown }: { sketch: Sketch; packet: Packet; shown: number }) {
  const { widthMm, heightMm } = sketch.sheet;
  return (
    <svg
      class="packet"
      viewBox={`0 0 ${widthMm} ${heightMm}`}
      role="img"
      aria-label={`The opened sheet after cut ${shown}.`}
    >
      <rect class="paper" width={widthMm} height={heightMm} />
      {packet.copies.map((copy, k) => (
        <g key={k} transform={copy}>
          {packet.cuts.slice(0, shown).map((piece, i) => (
            <path
              key={i}
              class={i === shown - 1 ? 'fresh' : 'gone'}
              fill-rule="evenodd"
              d={piece}
            />
          ))}
        </g>
      ))}
    </svg>
  );
}
