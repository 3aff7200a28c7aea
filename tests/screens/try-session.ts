// A sitting at the scripted bench, for a look by eye: npx tsx tests/screens/try-session.ts [--clip-on] [--crash] [--deaf]

import { type SessionUnit, sitAtBench } from '../../host/commands/bench-session.js';
import { wallClock } from '../../host/link/index.js';
import { scriptedTray, TRAY } from './scripted-bench.js';

const has = (option: string): boolean => process.argv.includes(option);
const isTty = process.stdin.isTTY === true && process.stdout.isTTY === true;

const code = await sitAtBench(
  {
    units: TRAY.map(({ tag }) => ({ tag }) as SessionUnit),
    kind: 'tray',
    title: 'scripted',
    ...(has('--clip-on') ? { port: '/dev/none' } : {}),
  },
  { json: has('--json'), plain: has('--plain') },
  {
    stdout: (text) => process.stdout.write(text),
    stderr: (text) => process.stderr.write(text),
    isTty,
    columns: 80,
    rows: 24,
    cwd: process.cwd(),
    ...(isTty ? { terminal: { stdin: process.stdin, stdout: process.stdout } } : {}),
  },
  async () => ({
    runTray: ({ signal, more: _, ...control }) =>
      scriptedTray({
        // A deaf bench goes on whatever it is told.
        ...(has('--deaf') ? {} : { signal }),
        ...control,
        sleep: async (seconds) => {
          await wallClock.sleep(seconds);
          if (has('--noise')) console.log('a library says something');
          if (has('--throw')) throw new Error('the bench broke');
          if (has('--crash')) setImmediate(() => Promise.reject(new Error('a crash outside the bench')));
        },
      }),
    close: async () => undefined,
  }),
);
process.exit(code);
