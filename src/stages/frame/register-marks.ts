import type { Sheet } from '../../settings/card.js';
import { registerMarks } from '../../geometry/register-marks.js';
import type { RegisterLimits } from '../../settings/register-marks.js';
import type { Bridged } from '../bridge/bridge.js';

/** Adds the register marks to what is cut, where they are wanted. */
export function withRegisterMarks(bridged: Bridged, sheet: Sheet, job: RegisterLimits): Bridged {
  if (!job.registerMarks) return bridged;
  return { ...bridged, openings: [...bridged.openings, ...registerMarks(sheet, job)] };
}
