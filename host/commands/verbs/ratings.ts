// `throwbench ratings`: what each part of a build carries and whether it bears that, before anything is wired.

import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';
import { RATINGS_OPTIONS } from '../ratings-options.js';

export const command = declared(
  {
    calls: ['ratings --profile P [options] [--json]'],
    options: RATINGS_OPTIONS,
    notes: 'What is not declared is sized instead.',
    examples: [
      'ratings --profile entry-step-relays --run last --break-a 20',
      'ratings --profile window-lift-switch --running-a 13 --held-a 30 --switch-a 16',
      'ratings --profile window-lift-switch --compare relay-pair-ground-thrown',
    ],
    exit: '0 every part bears it, 1 one does not, 2 usage or bad input, 3 cannot tell',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { profile } = values;
    if (profile === undefined) throw new UsageError('ratings needs --profile, the id or file of a unit');
    if (values['wire-mm2'] !== undefined && values['wire-awg'] !== undefined)
      throw new UsageError('--wire-mm2 and --wire-awg both tell the size: give one');
    return (await import('../ratings.js')).ratings(profile, values, io);
  },
);
