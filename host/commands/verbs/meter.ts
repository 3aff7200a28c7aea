// `throwbench meter`: what to measure with a hand meter before anything is fed, and what each reading must be.

import { JSON_OPTION, OTHER_CIRCUIT_OPTION, PROFILE_OPTION } from '../bench-named.js';
import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

export const command = declared(
  {
    calls: ['meter --profile P [--circuit ID] [--lamp] [--html FILE] [--json]'],
    options: {
      profile: PROFILE_OPTION,
      circuit: OTHER_CIRCUIT_OPTION,
      lamp: {
        type: 'boolean',
        default: false,
        words:
          "the step after that: a supply through a lamp of the unit's own voltage, volts in place of ohms",
      },
      html: {
        type: 'string',
        value: 'FILE',
        words: 'write the sheet as a page of its own as well',
        offer: 'file',
      },
      json: JSON_OPTION,
    },
    notes: `The fewest readings that show every wiring fault of the circuit which a hand meter can see: none can be left out.
      What it cannot see without current is listed below them. throwbench probe --profile P asks for
      them one by one and finds the wrong wire.`,
    examples: ['meter --profile entry-step-relays', 'meter --profile window-lift-switch --html sheet.html'],
    exit: '0 listed, 2 usage or bad input',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { profile, ...asked } = values;
    if (profile === undefined) throw new UsageError('meter needs --profile, the id or file of a unit');
    return (await import('../meter.js')).meter({ profile, ...asked }, io);
  },
);
