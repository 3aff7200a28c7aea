// `throwbench circuit`: the circuit as a picture, with what stands and flows in it, or with the place of a fault.

import { CIRCUIT_OPTIONS, coloursTold } from '../circuit-options.js';
import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const POSITIONS = ['rest', 'forward', 'reverse'] as const;

export const command: Command = {
  usage: `usage: throwbench circuit (--profile P | --run RUN) [options] [--svg FILE | --json]

  --profile P        profile of the unit: an id, or the path of a YAML file
  --run RUN          as a recorded run found it: the faulty place, measured against expected;
                     RUN is its id, its unit's tag, or last
  --circuit ID       on another circuit than the profile's, or the path of a circuit's file
  --position WORD    rest, forward (else taken) or reverse; with a fault what shows it best
  --station NAME     thrown from another place of the circuit, such as a second switch
  --fault ID         with this fault of the circuit; simulate --faults lists them
  --colour WIRE=RD   colour of a wire by the letters of IEC 60757, GNYE for green with yellow; may
                     be given several times. The profile's own stand under wires
  --svg FILE         write the picture; without it, it is drawn in the terminal
  --json             for programs

Voltages and currents are solved for the motor running free at the profile's numbers.

examples:
  throwbench circuit --profile entry-step-relays
  throwbench circuit --profile roof-vent-switch --position reverse --colour feed=RD --svg vent.svg
  throwbench circuit --profile entry-step-relays --fault k2-coil-open
  throwbench circuit --run last

exit status: 0 drawn, 2 usage or bad input, 3 the circuit cannot be solved
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, CIRCUIT_OPTIONS);
    refuseMore(positionals);
    const { profile, run, position, fault, circuit, svg, json, station } = values;
    if ((profile === undefined) === (run === undefined))
      throw new UsageError(
        'circuit needs either --profile, the id or file of a unit, or --run, a recorded run',
      );
    if (run !== undefined && (fault !== undefined || circuit !== undefined))
      throw new UsageError(
        `--${fault === undefined ? 'circuit' : 'fault'} does not go with --run, which has its own`,
      );
    if (svg !== undefined && json) throw new UsageError('--svg and --json: choose one');
    const thrown = POSITIONS.find((each) => each === position);
    if (position !== undefined && thrown === undefined)
      throw new UsageError(`no position '${position}': use ${POSITIONS.join(', ')}`);
    const asked = { profile, run, circuit, station, fault, svg, json, position: thrown };
    return (await import('../circuit.js')).circuit({ ...asked, colours: coloursTold(values.colour) }, io);
  },
};
