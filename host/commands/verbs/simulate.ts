// `throwbench simulate`: what one should see of a unit, healthy or with a fault; or of a scenario that states all itself.

import { type Command, parseCommandArgs } from '../command.js';
import { SIMULATE_OPTIONS } from '../simulate-options.js';

export const command: Command = {
  usage: `usage: throwbench simulate --profile P [--fault ID] [--csv FILE] [--svg FILE] [--draws N] [--json]
       throwbench simulate --scenario FILE… --csv OUT [--json]

  --profile P      profile of the unit: an id, or the path of a YAML file
  --fault ID       with this fault of the profile's circuit; may be given several times
  --faults         list the faults that the profile's circuit can have, and stop
  --draws N        behind the traces the band of N good units, drawn from the profile's tolerances
  --supply V       open-circuit voltage of the supply
  --temperature C  of motor, coils and wires
  --held-rotor     the shaft cannot turn
  --station NAME   throw from another place of the circuit, such as a second switch
  --csv FILE       write the capture; --svg FILE draws it as a picture
  --scenario FILE  a circuit that the file states completely; needs --csv. Several files run in
                   one go: --csv then names the folder that takes a CSV of each
  --json           readings as JSON in place of the drawing

examples:
  throwbench simulate --profile roof-vent-switch
  throwbench simulate --profile entry-step-relays --fault k2-coil-open --svg coil.svg

exit status: 0 simulated, 2 bad input, 3 the circuit cannot be solved.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, SIMULATE_OPTIONS);
    return (await import('../simulate.js')).simulate(values, positionals, io);
  },
};
