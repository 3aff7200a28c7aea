// `throwbench virtual --stdio`: serves the virtual rig's serial line on standard input and output, so that a
// pseudo-terminal can hand it to any program that expects a rig on a port. Nothing else goes to standard output.

import { type Command, EXIT, numberTold, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const DEFAULT_PROFILE = 'roof-vent-switch';
const SEED = { least: -1e15, most: 1e15, example: 7, what: 'whole number' } as const;

export const command: Command = {
  usage: `usage: throwbench virtual --stdio [--profile P] [--case C] [--seed N]

  --stdio      the board's serial line on standard input and output, at the pace of the wall clock
  --profile P  what is on the bench: an id under profiles/units, or a YAML file (default ${DEFAULT_PROFILE})
  --case C     what is wrong with it: an id under profiles/demo/cases, or a YAML file (default: nothing)
  --seed N     of everything drawn: tolerances, noise, bounce, clock error (default: the case's own)

examples:
  throwbench virtual --stdio --profile entry-step-relays --case coil-open

As a port for other programs: socat PTY,link=/tmp/rig,rawer EXEC:"throwbench virtual --stdio"
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      stdio: { type: 'boolean', default: false },
      profile: { type: 'string', default: DEFAULT_PROFILE },
      case: { type: 'string' },
      seed: { type: 'string' },
    });
    refuseMore(positionals);
    if (!values.stdio) throw new UsageError('say --stdio: it is the only way to serve so far');
    const seed = numberTold('seed', values.seed, SEED);
    const { caseSchema, loadCase, loadUnit, thrownAsPlanned } = await import('../../profile/index.js');
    const loaded = loadUnit(values.profile);
    // No hand hears a prompt over a serial line: the switch of the unit moves with the throws of the board.
    const unit = loaded.plan.throwBy === 'operator' ? thrownAsPlanned(loaded) : loaded;
    const virtualCase =
      values.case === undefined
        ? caseSchema.parse({ id: 'as-it-should-be', title: 'As it should be', kind: 'case', seed: 1 })
        : loadCase(values.case);
    const { serveVirtualRig } = await import('../../virtual-rig/index.js');

    const { ended, stop } = serveVirtualRig({
      unit,
      virtualCase,
      ...(seed === undefined ? {} : { seed }),
      // The board's lines are plain ASCII, so text and bytes are the same.
      send: (bytes) => io.stdout(Buffer.from(bytes).toString('latin1')),
      receive: process.stdin,
    });
    io.closed?.addEventListener('abort', stop, { once: true });
    await ended;
    return EXIT.pass;
  },
};
