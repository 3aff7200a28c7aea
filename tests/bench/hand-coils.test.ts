// Relay coils that a person's switch feeds, on the shipped firmware: thrown once each way behind their limiter before all else, so
// that a shorted one meets a third of an ampere (RIG.md, 5.13: 13 V / 39 Ohm) and F3 stays whole; good ones run as ever.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { judge } from '../../host/judge/index.js';
import { caseSchema, loadRelay, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const SEED = 71;
const UNIT = loadUnit('entry-step-by-hand');
let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-hand-coils-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function run(unit: ResolvedUnit, given: object) {
  const virtualCase = caseSchema.parse({ id: 'x', title: 'x', kind: 'case', seed: SEED, ...given });
  const virtual = openVirtualRig({ unit, virtualCase, paced: false });
  const fed: string[] = [];
  const watch = virtual.board.onOutputWrite;
  virtual.board.onOutputWrite = (cycle, outputs) => {
    watch?.(cycle, outputs);
    const now = outputs.feedFull ? 'full' : outputs.feedLimited ? 'limited' : 'off';
    const coil = outputs.coilFull ? 'straight' : 'limited';
    if (fed.at(-1) !== `${now}, coils ${coil}`) fed.push(`${now}, coils ${coil}`);
  };
  const desk: Desk = {
    prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
    judge: async (of, capture, stop) =>
      judge({ unit: of, capture, expectation: expectationOf(unit, 20), stop }),
    close: async () => {},
  };
  const events: BenchEvent[] = [];
  let highestCoilA = 0;
  const connect = async () => {
    const connection = await connectionTo(virtual, unit.rig);
    connection.rig.onEvent((event) => {
      if (event.kind !== 'samples') return;
      for (const valueA of event.block.channels.coilCurrentA ?? [])
        if (valueA > highestCoilA) highestCoilA = valueA;
    });
    return {
      ...connection,
      hear: (prompt: Parameters<NonNullable<typeof virtual.hear>>[0]) => virtual.hear?.(prompt),
    };
  };
  await runUnit(
    { index: 0, tag: 'V-0107', unit, connect },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => events.push(event),
  );
  const judged = events.find((event) => event.kind === 'judged');
  const stopped = events.find((event) => event.kind === 'stopped');
  return { fed, highestCoilA, judged, stopped };
}

describe(`relay coils behind a person's switch (virtual bench, seed ${SEED})`, () => {
  it('shorted by a diode the wrong way round: found behind the limiter, named, no straight feed ever on', async () => {
    const unit = { ...UNIT, relay: loadRelay('mini-changeover-diode') };
    const { fed, highestCoilA, judged, stopped } = await run(unit, { faults: ['k1-diode-reversed'] });
    expect(stopped).toMatchObject({ reason: 'coil-short' });
    expect(fed.filter((word) => word !== 'limited, coils limited' && word !== 'off, coils limited')).toEqual(
      [],
    );
    expect(highestCoilA).toBeLessThan(0.4);
    expect(judged?.judgement.verdict).toBe('fail');
    expect(judged?.judgement.sentence).toContain('The coil feed is shorted, forward');
    expect(judged?.judgement.sentence).toContain('of K1');
  });

  // A low and a charging battery, a cold and a warm workshop (common practice, no source).
  it.each([
    [11, 40],
    [14.5, 0],
  ])(
    'as they should be at %s V and %s °C: straight in each throw, and the unit passes',
    async (voltageV, temperatureC) => {
      const { fed, judged } = await run(UNIT, { supply: { voltageV }, temperatureC });
      expect(fed).toContain('limited, coils straight');
      expect(fed).toContain('full, coils straight');
      expect(fed).not.toContain('full, coils limited');
      expect(judged?.judgement.sentence).toBeDefined();
      expect(judged?.judgement.verdict).toBe('pass');
    },
  );
});
