// `throwbench probe`: after a run that did not pass, the next probe, its reading, and the causes weighed again, until one
// is left. The readings are typed, or the rig takes them with a sense clip.

import { BENCH_OPTIONS } from '../bench-named.js';
import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench probe RUN [--json]
       throwbench probe RUN (--port PATH [--rig ID] | --virtual CASE) [--clip A|B] [--json]
       throwbench probe RUN --clip-back (--port PATH | --virtual CASE)

  RUN             a recorded run that did not pass: its id in throwbench log, or last
  --port PATH     the rig on this serial port reads: a person moves a sense clip to the place named, and the rig makes
                  one throw there
  --virtual CASE  the same on the virtual bench, with this case on it
  --rig ID        refuse any other rig on that port
  --clip A|B      which sense clip is moved (B)
  --clip-back     only see a clip that was moved back in its place, so that runs are allowed again
  --json          one JSON object a line; answers are read as lines all the same

Each probe is told with what its readings would mean. Type what the meter shows (11.8 V, 85 Ohm, open) or yes or no; skip
where it cannot be done, stop to leave. What was taken is kept with the run's record; called again, it goes on from there.

examples:
  throwbench probe last
  throwbench probe last --virtual coil-open

exit status: 0 one cause, or a group that nothing here parts, is left; 2 usage or bad input; 3 not so far, or nothing fits
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      ...BENCH_OPTIONS,
      clip: { type: 'string' },
      'clip-back': { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
    });
    const [runId, ...more] = positionals;
    if (runId === undefined) throw new UsageError('probe needs a RUN: an id from throwbench log, or last');
    refuseMore(more);
    const { port, virtual, rig, json, profile } = values;
    if (profile !== undefined)
      throw new UsageError('--profile is not for probe: the run says what the unit is');
    if (port && virtual) throw new UsageError('--port and --virtual exclude each other: name one bench');
    const isBenchNamed = Boolean(port || virtual);
    if (rig && !port) throw new UsageError('--rig goes with --port');
    if (values.clip !== undefined && !isBenchNamed)
      throw new UsageError('--clip goes with --port or --virtual');
    if (values['clip-back'] && !isBenchNamed)
      throw new UsageError('--clip-back goes with --port or --virtual: which bench?');
    const clip = clipNamed(values.clip);
    // Only now, so that a wrong call is answered at once.
    if (!isBenchNamed) return (await import('../probe.js')).probeTyped({ runId, json }, io);
    const asked = { runId, json, port, rigId: rig, virtual, clip, onlyBack: values['clip-back'] };
    return (await import('../probe-rig.js')).probeWithRig(asked, io);
  },
};

function clipNamed(word = 'B'): 'a' | 'b' {
  if (word === 'A' || word === 'a') return 'a';
  if (word === 'B' || word === 'b') return 'b';
  throw new UsageError(`--clip '${word}' should be A or B`);
}
