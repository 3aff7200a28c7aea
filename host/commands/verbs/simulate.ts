// `throwbench simulate`: what one should see of a unit, healthy or with a fault; or of a scenario that states all itself.

import { declared } from '../declared.js';
import { SIMULATE_OPTIONS } from '../simulate-options.js';

export const command = declared(
  {
    calls: [
      'simulate --profile P [--fault ID] [--csv FILE] [--svg FILE] [--draws N] [--json]',
      'simulate --scenario FILE… --csv OUT [--json]',
    ],
    options: SIMULATE_OPTIONS,
    examples: [
      'simulate --profile roof-vent-switch',
      'simulate --profile entry-step-relays --fault k2-coil-open --svg coil.svg',
    ],
    exit: '0 simulated, 2 bad input, 3 the circuit cannot be solved',
  },
  async ({ values, positionals }, io) => (await import('../simulate.js')).simulate(values, positionals, io),
);
