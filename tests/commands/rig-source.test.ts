// The rig as a source: a clip that is said to be back and is not is seen, a hand that leaves keeps the rig from runs, and
// a stop in the throw gives no reading.

import { describe, expect, it } from 'vitest';
import type { Connection } from '../../host/bench/index.js';
import { withClipAt } from '../../host/circuit/index.js';
import { ProbeTold } from '../../host/commands/probe-told.js';
import { type Answer, type RigBench, RigSource } from '../../host/commands/rig-source.js';
import { causesOfProfile, conclude, type Probe, startProbing } from '../../host/probe/index.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import type { EntryContent } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { connectionTo } from '../bench/connection.js';
import { gathering } from './call.js';

const UNIT = loadUnit('entry-step-relays');
const CASE = loadCase('coil-open');
const { capture } = runDirectly({ unit: UNIT, truth: 'k2-coil-open', virtualCase: CASE, seed: CASE.seed });

/** A bench whose person gives these answers; the clip of lead B sits on 85 of K2 in the connections named. */
function bench(
  answers: readonly Answer[],
  isAway: readonly boolean[],
  signal = new AbortController().signal,
  /** Whether a key is pressed in each throw. */
  keys: readonly boolean[] = [],
) {
  const { io, written } = gathering(process.cwd());
  const kept: EntryContent[] = [];
  const asked: string[] = [];
  let connected = 0;
  let thrown = 0;
  const connect = (): Promise<Connection> => {
    const away = isAway[connected++] ?? false;
    const virtual = openVirtualRig({
      ...{ unit: UNIT, virtualCase: CASE, paced: false },
      ...(away ? { wired: (circuit) => withClipAt(circuit, 'b', 'k2-85') } : {}),
    });
    return connectionTo(virtual, UNIT.rig);
  };
  const of: RigBench = {
    ...{ unit: UNIT, clip: 'b', capture, signal, connect },
    keep: (entry) => kept.push(entry),
    whileLive: (off, work) => {
      if (keys[thrown++] === true) off();
      return work();
    },
    ask: async (sentence) => {
      asked.push(sentence);
      return answers[asked.length - 1] ?? 'stop';
    },
  };
  return { source: new RigSource(of, new ProbeTold(io, false)), written, kept, asked };
}

const start = startProbing({ unit: UNIT, feed: 'full', ...causesOfProfile(UNIT), supplyV: 12.6 });
const probe = start.menu.find(({ id }) => id === 'clip-b-k2-85-forward');
const take = (source: RigSource, which: Probe) => {
  const now = conclude(start, ({ id }) => id === which.id);
  if (now.kind !== 'open') throw new Error('nothing to probe');
  return source.take(which, { ...now, probing: start });
};

describe('the rig as a source', () => {
  if (probe === undefined) throw new Error('no such probe');

  it('takes only the probes of its clip where nobody is at hand', () => {
    const { source } = bench([], []);
    expect(start.menu.filter((each) => source.can(each)).every(({ clip }) => clip === 'b')).toBe(true);
    expect(source.can(probe)).toBe(true);
  });

  it('reads 85 of K2 behind its open coil as nothing', async () => {
    const { source, kept } = bench(['done'], [true]);
    const reading = await take(source, probe);
    expect(reading).toMatchObject({ kind: 'number' });
    // Nothing feeds 85 but the coil: the divider pulls it to ground.
    if (typeof reading === 'object' && reading.kind === 'number')
      expect(Math.abs(reading.value)).toBeLessThan(0.2);
    expect(kept.map(({ kind }) => kind)).toEqual(['clip-moved']);
    expect(source.isAway).toBe(true);
  });

  it('sees a clip that is said to be back and is not, and asks again', async () => {
    const healthy = loadCase('entry-step-good');
    const good = runDirectly({ unit: UNIT, truth: 'healthy', virtualCase: healthy, seed: healthy.seed });
    const kept: EntryContent[] = [];
    const { io, written } = gathering(process.cwd());
    let connected = 0;
    const source = new RigSource(
      {
        ...{ unit: UNIT, clip: 'b', capture: good.capture, signal: new AbortController().signal },
        connect: () => {
          connected += 1;
          const wired = (circuit: Parameters<typeof withClipAt>[0]) =>
            connected === 1 ? withClipAt(circuit, 'b', 'k2-85') : circuit;
          return connectionTo(
            openVirtualRig({ unit: UNIT, virtualCase: healthy, paced: false, wired }),
            UNIT.rig,
          );
        },
        keep: (entry) => kept.push(entry),
        ask: async () => 'done',
      },
      new ProbeTold(io, false),
    );
    expect(await source.bringBack()).toBe(true);
    expect(written.stdout).toMatch(
      /^The sense clip of lead B does not read right: 12\.\d V at rest, in the run -?0\.0 V\.\n/,
    );
    expect(written.stdout).toContain('is back on the motor');
    expect(connected).toBe(2);
    expect(kept.map(({ kind }) => kind)).toEqual(['clip-back']);
  });

  it('leaves the clip away in the record when the person leaves', async () => {
    const { source, kept, written } = bench(['done', 'stop'], [true]);
    await take(source, probe);
    expect(await source.bringBack()).toBe(false);
    expect(written.stdout).toContain('was not seen back: this rig makes no run until it is.');
    expect(kept.map(({ kind }) => kind)).toEqual(['clip-moved']);
  });

  it('asks for the clip and throws once more where a key stopped the throw', async () => {
    const { source, asked, written } = bench(['done', 'done'], [true], undefined, [true, false]);
    expect(await take(source, probe)).toMatchObject({ kind: 'number' });
    expect(asked).toHaveLength(2);
    expect(written.stdout.match(/no reading: /g)).toHaveLength(1);
  });

  it('still has to see a clip back that an earlier probing left away', async () => {
    const of = { unit: UNIT, clip: 'b', capture, signal: new AbortController().signal } as const;
    const { io } = gathering(process.cwd());
    const away = new RigSource(
      {
        ...{ ...of, awayFrom: 'virtual', keep: () => undefined },
        ask: async () => 'stop',
        connect: () => Promise.reject(new Error('nothing is to be connected')),
      },
      new ProbeTold(io, false),
    );
    expect(away.isAway).toBe(true);
    expect(await away.bringBack()).toBe(false);
  });

  it('gives no reading when it is stopped before the throw', async () => {
    const abort = new AbortController();
    abort.abort();
    const { source, written } = bench(['done'], [true], abort.signal);
    expect(await take(source, probe)).toBe('stop');
    expect(written.stdout).toContain('no reading: ');
  });
});
