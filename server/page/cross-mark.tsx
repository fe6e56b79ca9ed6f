import type { ViewPoint } from './viewport.js';

/** A ✕ in a circle, which takes away what it stands beside, or puts it back; 22 CSS px across, with room round it. */
export function CrossMark(props: {
  at: ViewPoint;
  /** Mm of a CSS px. */
  px: number;
  class: string;
  title: string;
  /** Takes the press; without it the canvas does. */
  onPress?: () => void;
}) {
  const { at, px, title, onPress } = props;
  const arm = 4 * px;
  return (
    <g
      class={props.class}
      {...(onPress && {
        onPointerDown: (event: PointerEvent) => {
          event.stopPropagation();
          onPress();
        },
      })}
    >
      <title>{title}</title>
      <circle cx={at.x} cy={at.y} r={11 * px} />
      <path
        d={`M${at.x - arm} ${at.y - arm}l${2 * arm} ${2 * arm}m0 ${-2 * arm}l${-2 * arm} ${2 * arm}`}
        stroke-width={1.8 * px}
      />
    </g>
  );
}

/** How far up and to the right of the middle of what it takes away a ✕ stands, in CSS px: so that its circle covers neither. */
const BESIDE_PX = 26;

export const besideMiddle = ({ x, y }: ViewPoint, px: number): ViewPoint => ({
  x: x + BESIDE_PX * px,
  y: y - BESIDE_PX * px,
});
