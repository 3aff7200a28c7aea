// `throwbench virtual --stdio`: serves the virtual rig's serial line on standard input and output, so that a
// pseudo-terminal can hand it to any program that expects a rig on a port. Nothing else goes to standard output.

import { EXIT, numberTold, refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

const DEFAULT_PROFILE = 'roof-vent-switch';
const SEED = { least: -1e15, most: 1e15, example: 7, what: 'whole number' } as const;

export const command = declared(
  {
    calls: ['virtual --stdio [--profile P] [--case C] [--seed N]'],
    options: {
      stdio: {
        type: 'boolean',
        default: false,
        words: "the board's serial line on standard input and output, at the pace of the wall clock",
      },
      profile: {
        type: 'string',
        default: DEFAULT_PROFILE,
        value: 'P',
        words: `what is on the bench: an id under profiles/units, or a YAML file (default ${DEFAULT_PROFILE})`,
        offer: 'unit',
      },
      case: {
        type: 'string',
        value: 'C',
        words: 'what is wrong with it: an id under profiles/demo/cases, or a YAML file (default: nothing)',
        offer: 'case',
      },
      seed: {
        type: 'string',
        value: 'N',
        words: "of everything drawn: tolerances, noise, bounce, clock error (default: the case's own)",
      },
    },
    notes: 'As a port for other programs: socat PTY,link=/tmp/rig,rawer EXEC:"throwbench virtual --stdio"',
    examples: ['virtual --stdio --profile entry-step-relays --case coil-open'],
    isPlain: true,
    exit: '0 the line was closed, 2 usage or bad input',
  },
  async ({ values, positionals }, io) => {
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
);
