// `throwbench ratings`: what each part of a build carries and whether it bears that, before anything is wired.

import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';
import { RATINGS_OPTIONS } from '../ratings-options.js';

export const command: Command = {
  usage: `usage: throwbench ratings --profile P [options] [--json]

  --profile P       profile of the unit: an id, or the path of a YAML file
  --circuit ID      on another circuit than the profile's
  --compare ID      this circuit beside it: what the same motor asks of both
  --run RUN         currents as this run measured them; RUN is its id, or last
  --running-a A     the motor running, --start-a A at its start, --held-a A held; over --run and profile
  --motors N        motors on the same switch, or on the same relay contacts
  --pairs N         relay pairs, each with its motor and feed fuse, whose coils share one small switch and fuse
  --continuous      it runs without end; else in short runs with pauses
  --switch-a A      rating of the switch: of the small one where relays carry the motor
  --fuse-a A        fuse of the feed, --coil-fuse-a A fuse of the coils
  --make-a A        rating of the relays' 87, --break-a A of their 87a
  --wire-mm2 A      size of the wires, or --wire-awg N; --wire-length M one way
  --drop PERCENT    most that the wires may drop out and back (3)
  --supply V        supply; --ambient-c C warmest ambient of wires and fuses

What is not declared is sized instead.

examples:
  throwbench ratings --profile entry-step-relays --run last --break-a 20
  throwbench ratings --profile window-lift-switch --running-a 13 --held-a 30 --switch-a 16
  throwbench ratings --profile window-lift-switch --compare relay-pair-ground-thrown

exit status: 0 every part bears it, 1 one does not, 2 usage or bad input, 3 cannot tell
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, RATINGS_OPTIONS);
    refuseMore(positionals);
    const { profile } = values;
    if (profile === undefined) throw new UsageError('ratings needs --profile, the id or file of a unit');
    if (values['wire-mm2'] !== undefined && values['wire-awg'] !== undefined)
      throw new UsageError('--wire-mm2 and --wire-awg both tell the size: give one');
    return (await import('../ratings.js')).ratings(profile, values, io);
  },
};
