import type { Packet } from '../packet/packet.js';
import { difficultyOf } from './difficulty.js';
import type { CutPlan, PlanSettings } from './plan.js';

/** Minutes to open the packet, look, and fold it again, after each cut. Common practice, from memory, no source. */
const MINUTES_PER_LOOK = 0.5;
/** And to turn the packet in the jaws at a corner. The same. */
const MINUTES_PER_CORNER = 0.1;

/** The plan of a folded sheet: its pieces are those of the opened sheet, but the hand cuts all layers at once. */
export function throughAllLayers(
  plan: CutPlan,
  packet: Packet | null,
  { warmUp, cuttingSpeed }: Pick<PlanSettings, 'warmUp' | 'cuttingSpeed'>,
): CutPlan {
  if (!packet) return plan;
  const { packetCuts: cuts, layers } = packet;
  const cuttingMm = cuts.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
  const corners = Math.round(plan.corners / layers);
  const minutes =
    cuttingMm / cuttingSpeed + MINUTES_PER_CORNER * corners + MINUTES_PER_LOOK * cuts.length;
  const thinPlaces = Math.round(plan.thinPlaces / layers);
  return {
    ...plan,
    cuttingMm,
    corners,
    thinPlaces,
    straightRuns: Math.round(plan.straightRuns / layers),
    travelMm: plan.travelMm / layers,
    minutes: warmUp + minutes,
    difficulty: difficultyOf(cuts, { cuttingMm, corners, thinPlaces }, minutes),
  };
}
