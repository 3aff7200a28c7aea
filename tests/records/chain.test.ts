// Whoever edits the database by hand is found out. SHA-256 by FIPS 180-4 through the platform's own library.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Position } from '../../host/capture/index.js';
import { canonicalJson } from '../../host/records/canonical-json.js';
import { packCapture, unpackCapture } from '../../host/records/capture-blob.js';
import { openStore } from '../../host/records/index.js';
import { begin, block, capture, judgement } from './example-run.js';

const SEED = 77_001;
let folder: string;
let ids: string[];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-chain-'));
  const store = openStore(folder);
  ids = ['V-0101', 'V-0102', 'V-0103'].map((tag) => {
    const runId = store.beginRun(begin(tag));
    store.finishRun(runId, { capture: capture(100), judgement: judgement('fail'), rawLines: ['one', 'two'] });
    return runId;
  });
  const aborted = store.beginRun(begin('V-0104'));
  store.appendSamples(aborted, [block(0, 20)]);
  store.abortRun(aborted, { reason: 'Stopped.' });
  ids.push(aborted);
  expect(store.verify()).toMatchObject({ runs: 4, faults: [] });
  store.close();
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function faultsAfter(...statements: string[]) {
  const database = new Sqlite(join(folder, 'throwbench.sqlite'));
  database.pragma('foreign_keys = OFF');
  for (const sql of statements) expect(database.prepare(sql).run(ids[1]).changes).toBe(1);
  database.close();
  const store = openStore(folder);
  const { faults } = store.verify();
  store.close();
  return faults;
}

describe('a record edited by hand', () => {
  it.each([
    ['its verdict', "UPDATE runs SET verdict = 'pass' WHERE id = ?"],
    ['its reason', "UPDATE runs SET sentence = 'All well.' WHERE id = ?"],
    [
      'its judgement',
      "UPDATE runs SET judgement_json = replace(judgement_json, '1.52', '1.53') WHERE id = ?",
    ],
    ['the unit it was', "UPDATE runs SET tag = 'V-0101' WHERE id = ?"],
    [
      'the profile as it was',
      "UPDATE runs SET profile_json = replace(profile_json, '2.2', '2.3') WHERE id = ?",
    ],
    ['the rig', "UPDATE runs SET rig_json = replace(rig_json, 'bench-1', 'bench-2') WHERE id = ?"],
    ['its time', "UPDATE runs SET started_at = '2024-06-10T08:30:00.000Z' WHERE id = ?"],
    ['its raw lines', 'UPDATE runs SET raw_lines = NULL WHERE id = ?'],
    ['one check', "UPDATE checks SET outcome = 'pass' WHERE place = 1 AND run_id = ?"],
    ['a check taken out', 'DELETE FROM checks WHERE place = 1 AND run_id = ?'],
    ['its samples', 'UPDATE captures SET blob = zeroblob(10) WHERE run_id = ?'],
    ['its samples taken out', 'DELETE FROM captures WHERE run_id = ?'],
  ])('is found by %s', (_name, sql) => {
    expect(faultsAfter(sql)).toEqual([
      { runId: ids[1], sentence: 'its record was changed after it was closed' },
    ]);
  });

  it('is found when a whole run is taken out', () => {
    expect(faultsAfter('DELETE FROM runs WHERE id = ?')).toEqual([
      { runId: ids[1], sentence: 'its record is gone' },
    ]);
  });

  it('is found when its link is taken out too', () => {
    expect(faultsAfter('DELETE FROM chain WHERE run_id = ?', 'DELETE FROM runs WHERE id = ?')).toEqual([
      { runId: ids[2], sentence: 'record 2 of the chain is missing before it' },
    ]);
  });

  it('is found when only its link is taken out', () => {
    expect(faultsAfter('DELETE FROM chain WHERE run_id = ?')).toEqual([
      { runId: ids[2], sentence: 'record 2 of the chain is missing before it' },
      { runId: ids[1], sentence: 'it is closed but not in the chain' },
    ]);
  });

  it('changes the last hash when the end is cut off and replaced', () => {
    const store = openStore(folder);
    const before = store.verify().lastHash;
    store.close();
    const database = new Sqlite(join(folder, 'throwbench.sqlite'));
    database.pragma('foreign_keys = OFF');
    for (const table of ['checks', 'captures', 'chain'])
      database.prepare(`DELETE FROM ${table} WHERE run_id = ?`).run(ids[3]);
    database.prepare('DELETE FROM runs WHERE id = ?').run(ids[3]);
    database.close();
    const again = openStore(folder);
    expect(again.verify().faults).toEqual([]);
    expect(again.verify().lastHash).not.toBe(before);
    again.close();
  });
});

describe('canonical JSON', () => {
  it('does not hang on the order of keys', () => {
    expect(canonicalJson({ b: 1, a: { d: [1, 2], c: null } })).toBe('{"a":{"c":null,"d":[1,2]},"b":1}');
    expect(canonicalJson({ a: undefined, b: 'ü"\n' })).toBe('{"b":"ü\\"\\n"}');
  });

  it('refuses what JSON would silently change', () => {
    expect(() => canonicalJson({ a: Number.NaN })).toThrow(TypeError);
    expect(() => canonicalJson([Number.POSITIVE_INFINITY])).toThrow(TypeError);
    expect(() => canonicalJson([undefined])).toThrow(TypeError);
  });

  it(`reads back as what it was, seed ${SEED}`, () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
      { seed: SEED, numRuns: 300 },
    );
  });
});

describe(`capture blobs, seed ${SEED}`, () => {
  it('give back every bit', () => {
    const values = fc.array(fc.double(), { minLength: 0, maxLength: 60 });
    fc.assert(
      fc.property(values, fc.boolean(), (samples, known) => {
        const original = {
          timeS: Float64Array.from(samples, (_, i) => i / 3),
          position: samples.map((_, i): Position => (i % 2 ? 'reverse' : 'rest')),
          ...(known ? {} : { positionKnown: false, extraColumns: { 'a "b"': samples.map(String) } }),
          channels: {
            motorCurrentA: Float64Array.from(samples),
            supplyVoltageV: Float64Array.from(samples, (x) => -x),
          },
          gaps: [{ fromS: 0, toS: 1, channels: ['motorCurrentA' as const], reason: 'r' }],
          sampleRateHz: 3,
          notes: ['ü'],
        };
        const back = unpackCapture(packCapture(original));
        expect(back).toEqual(original);
        expect(back.channels.motorCurrentA!.every((value, i) => Object.is(value, samples[i]))).toBe(true);
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('are refused when cut or foreign', () => {
    const blob = packCapture(capture(100));
    expect(() => unpackCapture(blob.subarray(0, blob.length - 20))).toThrow();
    expect(() => unpackCapture(Buffer.from('PK\u0003\u0004 something else'))).toThrow(/not a capture blob/);
  });
});
