// The one list of verbs. Each is loaded when it is called, so that start-up is quick and native add-ons load
// only for the verbs that need them.

import type { CommandIo, Verb } from './command.js';

export * from './command.js';

/** Runs a verb while what it records goes to the shop's server. */
export const sendingBeside = async (run: () => Promise<number>, io: CommandIo): Promise<number> =>
  (await import('./sending-beside.js')).sendingBeside(run, io);

/** Verbs that may record something. */
const RECORDING = ['bench', 'run', 'tray', 'probe', 'calibrate', 'job', 'unit', 'log'];

const verb = (name: string, summary: string, load: Verb['load']): Verb => ({
  ...{ name, summary, load },
  records: RECORDING.includes(name),
});

export const VERBS: readonly Verb[] = [
  verb('bench', 'open the bench: what throwbench alone does at a terminal', () => import('./verbs/bench.js')),
  verb('run', 'test one unit and record it', () => import('./verbs/run.js')),
  verb('tray', 'test a list of units one after the other', () => import('./verbs/tray.js')),
  verb('judge', 'judge a capture in a CSV file, or a recorded run again', () => import('./verbs/judge.js')),
  verb(
    'probe',
    'after a fail: the next probe, its reading, until one cause is left',
    () => import('./verbs/probe.js'),
  ),
  verb(
    'measure',
    'measure what a capture in a CSV file shows, each number with its ±',
    () => import('./verbs/measure.js'),
  ),
  verb('learn', 'learn limits from known good units', () => import('./verbs/learn.js')),
  verb(
    'simulate',
    'show what a unit should do, or what a fault would do',
    () => import('./verbs/simulate.js'),
  ),
  verb(
    'ratings',
    'reckon what each part of a build carries, and whether it bears that',
    () => import('./verbs/ratings.js'),
  ),
  verb(
    'meter',
    'list what to measure with a hand meter before anything is fed',
    () => import('./verbs/meter.js'),
  ),
  verb(
    'circuit',
    'draw the circuit with its voltages and currents, or the place of a fault in it',
    () => import('./verbs/circuit.js'),
  ),
  verb(
    'wiring',
    'write the sheet by which a harness is made: parts, wires in order, checks',
    () => import('./verbs/wiring.js'),
  ),
  verb(
    'calibrate',
    'calibrate a channel of the rig against a known load and meter, or check it',
    () => import('./verbs/calibrate.js'),
  ),
  verb('job', 'open jobs, bring in their lists of units', () => import('./verbs/job.js')),
  verb('unit', 'show the story of a unit and add to it', () => import('./verbs/unit.js')),
  verb('log', 'list recorded runs, show one, prove that none was changed', () => import('./verbs/log.js')),
  verb(
    'store',
    "bring records to the shop's server, tell what it has, prove it",
    () => import('./verbs/store.js'),
  ),
  verb(
    'profile',
    'list, show and check profiles, or write one of your own by answering questions',
    () => import('./verbs/profile.js'),
  ),
  verb('settings', 'show or change what this workshop has settled', () => import('./verbs/settings.js')),
  verb('ports', 'list serial ports, opening none', () => import('./verbs/ports.js')),
  verb('rig', 'tell who a rig is and what it reads at rest, name it', () => import('./verbs/rig.js')),
  verb('virtual', 'serve the virtual rig on standard input and output', () => import('./verbs/virtual.js')),
  verb('completion', 'what bash, zsh or fish needs to complete calls', async () => ({
    command: (await import('./verbs/completion.js')).completionOf(VERBS),
  })),
  verb('man', 'the manual page', async () => ({ command: (await import('./verbs/man.js')).manOf(VERBS) })),
];
