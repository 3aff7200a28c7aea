// `throwbench circuit`: the circuit as a picture, with what stands and flows in it, or with the place of a fault.

import { CIRCUIT_OPTIONS, coloursTold, POSITIONS } from '../circuit-options.js';
import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: ['circuit (--profile P | --run RUN) [options] [--svg FILE | --json]'],
    options: CIRCUIT_OPTIONS,
    notes: "Voltages and currents are solved for the motor running free at the profile's numbers.",
    examples: [
      'circuit --profile entry-step-relays',
      'circuit --profile roof-vent-switch --position reverse --colour feed=RD --svg vent.svg',
      'circuit --profile entry-step-relays --fault k2-coil-open',
      'circuit --run last',
    ],
    exit: '0 drawn, 2 usage or bad input, 3 the circuit cannot be solved',
  },
  async ({ values, positionals }, io) => {
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
);
