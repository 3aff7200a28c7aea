// The reference rig's profile as tests need it, with their own copy of its numbers.

import { loadRig, type RigProfile } from '../../host/profile/index.js';

const scale = (atZeroCount: number, perCount: number) => ({
  atZeroCount,
  perCount,
  gainUncertaintyPercent: 0.5,
  offsetUncertainty: 0.03,
});

export const RIG: RigProfile = {
  id: 'test-rig',
  title: 'Test rig',
  kind: 'rig',
  scales: {
    ...loadRig('reference-rig').scales,
    feedCurrentA: scale(-8, 0.078125),
    motorCurrentA: scale(-40, 0.078125),
    coilCurrentA: scale(0, 0.0009765625),
    leadAVoltageV: scale(-10, 0.029296875),
    leadBVoltageV: scale(-10, 0.029296875),
    supplyVoltageV: scale(0, 0.01953125),
  },
  adcBits: 10,
  supply: { voltageV: 13, sourceResistanceOhm: 0.04 },
  feedShuntOhm: 0.005,
  motorShuntOhm: 0.005,
  feedContactOhm: 0.025,
  limitedFeedOhm: 12,
  leadLoadOhm: 22000,
  leadClampV: 30,
  deadTimeS: 0.3,
  longestHoldS: 5,
  trip: { motorCurrentA: 20, feedCurrentA: 20, samples: 3 },
};
