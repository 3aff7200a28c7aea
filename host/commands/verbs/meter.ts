// `throwbench meter`: what to measure with a hand meter before anything is fed, and what each reading must be.

import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench meter --profile P [--circuit ID] [--lamp] [--html FILE] [--json]

  --profile P    profile of the unit: an id, or the path of a YAML file
  --circuit ID   on another circuit than the profile's
  --lamp         the step after that: a supply through a 12 V lamp, volts in place of ohms
  --html FILE    write the sheet as a page of its own as well
  --json         for programs

The fewest readings that show every wiring fault of the circuit which a hand meter can see: none
can be left out. What it cannot see without current is listed below them. throwbench probe --profile P
asks for them one by one and finds the wrong wire.

examples:
  throwbench meter --profile entry-step-relays
  throwbench meter --profile window-lift-switch --html sheet.html

exit status: 0 listed, 2 usage or bad input
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      profile: { type: 'string' },
      circuit: { type: 'string' },
      lamp: { type: 'boolean', default: false },
      html: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    refuseMore(positionals);
    const { profile, ...asked } = values;
    if (profile === undefined) throw new UsageError('meter needs --profile, the id or file of a unit');
    return (await import('../meter.js')).meter({ profile, ...asked }, io);
  },
};
