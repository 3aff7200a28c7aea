// A sitting as a person has it: the built program in a pseudo-terminal, real keys, the virtual bench at the pace of the
// clock, and what the store holds afterwards.

import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openStore, type Store } from '../../host/records/index.js';
import { ROOT } from '../rules/source-tree.js';
import { madeFolder, PtyTerminal, type Window } from './pty-terminal.js';

const SMALL: Window = { columns: 80, rows: 24 };
const LARGE: Window = { columns: 120, rows: 36 };
/** A run takes five seconds of the wall clock; a crowded machine judges slowly. */
const LONG_MS = 180_000;
/** Keys, clock and judging race on a crowded machine: what fails so is tried again, what is broken fails again. */
const CROWDED = { retry: 2 };

const { folder, remove } = madeFolder();
const open: PtyTerminal[] = [];
let sittings = 0;
let logs = '';
beforeAll(() => {
  execFileSync(process.execPath, ['--import', 'tsx', join(ROOT, 'host', 'build.ts'), join(folder, 'dist')]);
});
afterEach(() => {
  for (const terminal of open.splice(0)) terminal.kill('SIGKILL');
});
afterAll(remove);

/** Each sitting that starts anew has a store of its own; what is kept of profiles is shared. */
function newStore(): void {
  sittings += 1;
  logs = join(folder, `logs-${sittings}`);
}

function bench(args: string[], window: Window = SMALL): PtyTerminal {
  const terminal = new PtyTerminal([join(folder, 'dist', 'cli.js'), ...args], window, {
    ...{ THROWBENCH_LOGS: logs, THROWBENCH_CACHE: join(folder, 'cache') },
    THROWBENCH_SETTINGS: join(folder, 'settings.yaml'),
  });
  open.push(terminal);
  return terminal;
}

async function stored<T>(read: (store: Store) => T): Promise<T> {
  const store = openStore(logs);
  try {
    return read(store);
  } finally {
    store.close();
  }
}

describe('a single unit', CROWDED, () => {
  it(
    'is run, stopped, run again, decided on; the terminal is given back',
    async () => {
      newStore();
      const args = [
        'run',
        '--profile',
        'roof-vent-switch',
        '--unit',
        'V-0107',
        '--virtual',
        'roof-vent-good',
      ];
      const terminal = bench(args);
      await terminal.sees('Before the first throw');
      terminal.send('\r');
      await terminal.sees('FULL FEED');
      expect(terminal.text).not.toMatch(/1 of 1|Tray/);
      terminal.send('qrsx\r');
      terminal.send('\u001b');
      await terminal.sees('Enter: run V-0107 again, when it is safe');
      // Keys count again once the run has been told as ended.
      await terminal.sees('What to do:');
      await terminal.enterLeaves('Enter: run V-0107 again');
      await terminal.sees('Enter: throw, attempt 2');
      await terminal.enterLeaves('Enter: throw');
      await terminal.sees('Enter: V-0107 accepted');
      terminal.resize(LARGE);
      // The larger window has room for the rig's model.
      await terminal.sees('rig virtual, reference-rig, firmware');
      terminal.send('\r');
      expect(await terminal.exited).toBe(0);
      expect(terminal.isGivenBack).toBe(true);
      expect(terminal.after).toContain('V-0107');
      const runs = await stored((store) => store.listRuns());
      expect(runs.map(({ attempt, verdict, status }) => [attempt, verdict, status])).toEqual([
        [2, 'pass', 'finished'],
        [1, 'cannot-tell', 'aborted'],
      ]);
      const word = await stored((store) => store.dispositionOf(runs[0]!.runId)?.word);
      expect(word).toBe('accept');
      const read = await stored((store) => store.lastAcknowledgement('cautions')?.lines.length ?? 0);
      expect(read).toBeGreaterThan(5);
    },
    LONG_MS,
  );

  it(
    'has its outputs put off by a scan in mid-run',
    async () => {
      newStore();
      const args = [
        'run',
        '--profile',
        'roof-vent-switch',
        '--unit',
        'V-0107',
        '--virtual',
        'roof-vent-good',
      ];
      const terminal = bench(args, LARGE);
      await terminal.sees('Before the first throw');
      terminal.send('\r');
      await terminal.sees('FULL FEED');
      terminal.send('V-0108\r');
      await terminal.sees('Enter: run V-0107 again, when it is safe');
      terminal.send('\u0003');
      expect(await terminal.exited).toBe(3);
      expect(terminal.isGivenBack).toBe(true);
    },
    LONG_MS,
  );
});

describe('the bench, opened', CROWDED, () => {
  it(
    'gives the first verdict after three Enters, and a unit once more after one scan and one Enter',
    async () => {
      newStore();
      const terminal = bench(['bench', '--virtual']);
      await terminal.sees('Enter takes V-0101');
      terminal.send('\r');
      await terminal.sees('Enter: read and understood');
      terminal.send('\r');
      await terminal.sees('V-0101 clipped on and hands clear? Enter: throw');
      await terminal.sees('Roof vent on its six-terminal switch');
      await terminal.enterLeaves('Enter: throw');
      await terminal.sees('Enter: V-0101 accepted');
      terminal.send('V-0101\r');
      await terminal.sees('Enter: throw, attempt 2');
      await terminal.enterLeaves('Enter: throw');
      await terminal.sees(
        /rig virtual[\s\S]*V-0101 {2}Roof vent[\s\S]*attempt 2[\s\S]*Enter: V-0101 accepted/,
      );
      terminal.send('\r');
      await terminal.sees('Enter takes V-0102');
      // Taken back, and decided otherwise.
      terminal.send('\u001a');
      await terminal.sees('Enter: V-0101 accepted');
      terminal.send('x');
      await terminal.sees('Enter takes V-0102');
      // Where text is typed a space is a space.
      terminal.send('Q 7');
      await terminal.sees('Tag: Q 7_');
      terminal.send('\r');
      await terminal.sees('What is Q 7?');
      terminal.send('q');
      expect(await terminal.exited).toBe(0);
      expect(terminal.isGivenBack).toBe(true);
      const kept = await stored((store) => store.readSitting(store.lastSittingId(['bench'])!));
      expect(kept.units).toHaveLength(1);
      const runs = kept.units[0]!.runs.map(({ runId, attempt }) => ({ runId, attempt }));
      expect(runs.map(({ attempt }) => attempt)).toEqual([1, 2]);
      const words = await stored((store) => runs.map(({ runId }) => store.dispositionOf(runId)?.word));
      expect(words).toEqual(['accept', 'reject']);
      expect(await stored((store) => store.listDispositions().length)).toBe(4);

      // The shift goes on: the cautions were read, and the next tag numbers itself.
      const later = bench([]);
      await later.sees('Which rig?');
      later.send('\u0003');
      await later.exited;
      const again = bench(['bench', '--virtual']);
      await again.sees('Enter takes V-0102');
      again.send('\r');
      await again.sees('V-0102 clipped on and hands clear?');
      again.send('\u0003');
      await again.exited;
    },
    2 * LONG_MS,
  );
});

describe('a tray', CROWDED, () => {
  it(
    'goes on where it stood after its program was killed in mid-run',
    async () => {
      newStore();
      const first = bench(['tray', 'profiles/demo/tray.yaml']);
      await first.sees('Before the first throw');
      first.send('\r');
      await first.sees('r: again · c: checks');
      first.send('\r');
      await first.sees('V-0102  Entry step');
      await first.sees('FULL FEED');
      first.kill('SIGKILL');
      await first.exited;
      const again = bench(['tray', '--resume']);
      await again.sees('V-0102 clipped on and hands clear? Enter: throw, attempt 2');
      await again.sees('V-0102 CANNOT TELL: The program ended in mid-run.');
      again.send('s');
      await again.sees('V-0103 clipped on');
      again.send('q');
      expect(await again.exited).toBe(3);
      expect(again.isGivenBack).toBe(true);
      expect(again.after).toMatch(/V-0101 +PASS/);
      const kept = await stored((store) => store.readSitting(store.lastSittingId(['tray'])!));
      expect(kept.units.slice(0, 3).map(({ tag, isSkipped, runs }) => [tag, isSkipped, runs.length])).toEqual(
        [
          ['V-0101', false, 1],
          ['V-0102', true, 1],
          ['V-0103', false, 0],
        ],
      );
    },
    LONG_MS,
  );
});
