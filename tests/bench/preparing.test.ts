// What verdicts of a profile rest on, worked out by two threads, is what one thread works out, to the last bit; and a
// second thread that is slow, dies or never comes changes nothing but the time.

import { once } from 'node:events';
import { MessageChannel } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { prepareProfile } from '../../host/bench/preparing/index.js';
import {
  doTogether,
  help,
  messagesOn,
  sharedCells,
  type Work,
} from '../../host/bench/threads/shared-work.js';
import { CircuitError } from '../../host/circuit/index.js';
import { diagnosisLibrary, LibraryWork } from '../../host/diagnose/index.js';
import { expectation, goodDraws } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { startWorker } from '../../host/program/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const WINDOW = plannedUnit('window-lift-switch');
const fewDraws = (unit: ResolvedUnit, draws: number): ResolvedUnit => ({
  ...unit,
  unit: { ...unit.unit, rules: { ...unit.unit.rules, draws } },
});

describe('expectation and library of a profile', () => {
  it('are the same from two threads as from one, 80 draws', () => {
    const alone = prepareProfile(WINDOW, { findings: true, helper: false });
    const two = prepareProfile(WINDOW, { findings: true, helper: true });
    try {
      expect(two.expectation()).toEqual(alone.expectation());
      expect(two.library()).toEqual(alone.library());
    } finally {
      two.close();
    }
  });

  it('are the same whoever does which piece, in whatever order', () => {
    const options = { draws: 12, seed: 43 };
    const whole = expectation(WINDOW, options);
    const [here, there] = [goodDraws(WINDOW, options), goodDraws(WINDOW, options)];
    for (let piece = here.count - 1; piece >= 0; piece--) (piece % 3 === 0 ? here : there).do(piece);
    expect(here.isComplete).toBe(false);
    here.add(structuredClone(there.share()));
    expect(here.isComplete).toBe(true);
    expect(expectation(WINDOW, options, here)).toEqual(whole);

    const [mine, other] = [new LibraryWork(WINDOW), new LibraryWork(WINDOW)];
    for (let piece = 0; piece < mine.count; piece += 2) other.do(piece);
    mine.add(structuredClone(other.share()));
    expect(diagnosisLibrary(WINDOW, {}, mine)).toEqual(diagnosisLibrary(WINDOW));
  });

  it('come from the second thread alone when nobody else takes part, 6 draws', async () => {
    const unit = fewDraws(WINDOW, 6);
    const cells = sharedCells(2);
    const { port1, port2 } = new MessageChannel();
    // As seen from a thread that was itself started from the sources.
    const place = `${new URL('../../host/bench/threads/helpers.ts', import.meta.url).href}?mark=1`;
    const stages = [{ of: 'good-units' }, { of: 'faults' }];
    const worker = startWorker('./helper-worker', place, { unit, cells, port: port2, stages }, [port2]);
    await once(worker, 'exit');
    const [draws, library] = [goodDraws(unit), new LibraryWork(unit)];
    for (const { stage, share } of messagesOn(port1)) [draws, library][stage]!.add(share as never);
    expect(draws.isComplete && library.isComplete).toBe(true);
    expect(expectation(unit, {}, draws)).toEqual(expectation(unit));
    port1.close();
  });

  it('end in one clear error when the circuit cannot be solved, with a second thread as without', () => {
    const broken = fewDraws({ ...WINDOW, motor: { ...WINDOW.motor, resistanceOhm: -1 } }, 20);
    for (const helper of [false, true]) {
      const { expectation: expected, close } = prepareProfile(broken, { findings: false, helper });
      expect(() => expected()).toThrow(CircuitError);
      expect(() => expected()).toThrow(/^[^\n]+$/);
      close();
    }
  });
});

describe('work in pieces', () => {
  const squares = (count: number) => {
    const done = new Map<number, number>();
    const work: Work & { done: Map<number, number> } = {
      done,
      count,
      get isComplete() {
        return done.size === count;
      },
      do: (piece) => void done.set(piece, piece ** 2),
      share: () => [...done],
      add: (share: [number, number][]) => {
        for (const [piece, square] of share) done.set(piece, square);
      },
    };
    return work;
  };

  it('is done once each, what the helper took handed in as a share', () => {
    const cells = sharedCells(1);
    const { port1, port2 } = new MessageChannel();
    const [there, here] = [squares(10), squares(20)];
    help(there, 0, cells, port2);
    doTogether(here, 0, cells);
    // The helper took one number beyond its ten to see that there are no more.
    expect([...here.done.keys()]).toEqual([11, 12, 13, 14, 15, 16, 17, 18, 19]);
    const [message, ...more] = messagesOn(port1);
    expect(more).toEqual([]);
    expect(message).toEqual({ stage: 0, share: Array.from({ length: 10 }, (_, i) => [i, i * i]) });
    port1.close();
  });

  it('is not waited for when a helper failed, and for half a second when it says nothing', () => {
    const cells = sharedCells(2);
    const { port1, port2 } = new MessageChannel();
    const failing = squares(5);
    failing.do = () => {
      throw new Error('trouble in the thread');
    };
    expect(() => help(failing, 0, cells, port2)).toThrow('trouble in the thread');
    const here = squares(5);
    const startMs = performance.now();
    doTogether(here, 0, cells);
    expect(performance.now() - startMs).toBeLessThan(400);
    expect([...here.done.keys()]).toEqual([1, 2, 3, 4]);
    // Piece 0 of the second stage is taken and never handed in.
    cells[3] = 1;
    const silent = squares(5);
    doTogether(silent, 1, cells);
    expect(silent.isComplete).toBe(false);
    expect(performance.now() - startMs).toBeGreaterThan(450);
    expect([...messagesOn(port1)]).toEqual([]);
    port1.close();
  });
});
