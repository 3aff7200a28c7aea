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
];
