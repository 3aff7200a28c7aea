// Which units a rig throws by itself, by itself, since the rooms ask it before anything of a probing is loaded.

import type { ResolvedUnit } from '../profile/index.js';

/** Whether the rig throws such a unit by itself: a switch that a person throws, or a relay alone, is read by a meter. */
export const rigThrows = ({ plan, unit }: ResolvedUnit): boolean =>
  plan.throwBy !== 'operator' && unit.subject !== 'relay';
