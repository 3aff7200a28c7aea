// The one list of verbs. Each is loaded when it is called, so that start-up is quick and native add-ons load
// only for the verbs that need them. Summaries stand here too; a test holds them equal to the commands' own.

import type { Command } from './command.js';

export * from './command.js';

export interface Verb {
  name: string;
  summary: string;
  load(): Promise<Command>;
}

export const VERBS: readonly Verb[] = [
  {
    name: 'run',
    summary: 'test one unit and record it',
    load: async () => (await import('./run.js')).runCommand,
  },
  {
    name: 'tray',
    summary: 'test a list of units one after the other',
    load: async () => (await import('./tray.js')).trayCommand,
  },
  {
    name: 'judge',
    summary: 'judge a capture in a CSV file, or a recorded run again',
    load: async () => (await import('./judge.js')).judgeCommand,
  },
  {
    name: 'measure',
    summary: 'measure what a capture in a CSV file shows, each number with its ±',
    load: async () => (await import('./measure.js')).measureCommand,
  },
  {
    name: 'simulate',
    summary: 'show what a unit should do, or what a fault would do',
    load: async () => (await import('./simulate.js')).simulateCommand,
  },
  {
    name: 'calibrate',
    summary: 'calibrate a channel of the rig against a known load and meter, or check it',
    load: async () => (await import('./calibrate.js')).calibrateCommand,
  },
  {
    name: 'log',
    summary: 'list recorded runs, show one, prove that none was changed',
    load: async () => (await import('./log.js')).logCommand,
  },
  {
    name: 'ports',
    summary: 'list serial ports, opening none',
    load: async () => (await import('./ports.js')).portsCommand,
  },
  {
    name: 'rig',
    summary: 'tell who a rig is and what it reads at rest, name it',
    load: async () => (await import('./rig.js')).rigCommand,
  },
  {
    name: 'virtual',
    summary: 'serve the virtual rig on standard input and output',
    load: async () => (await import('./virtual.js')).virtualCommand,
  },
];
