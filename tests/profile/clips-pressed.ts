// A unit whose clips were pressed since the run before, which read the same: what is bad on that way is the unit's.

import type { ResolvedUnit } from '../../host/profile/index.js';

export const withPressedClips = (unit: ResolvedUnit): ResolvedUnit => ({
  ...unit,
  rig: { ...unit.rig, proven: ['F4', 'clips'] },
});
