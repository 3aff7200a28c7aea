// Fault lists: made from structure, named for good, worded for an electrician, and every one of them solvable.

import { describe, expect, it } from 'vitest';
import { faultById, faultsOf } from '../../host/circuit/index.js';
import { readStyle, styleIds, symptom } from './symptom-bench.js';

const IDS = styleIds();

describe.each(IDS)('faults of %s', (id) => {
  const style = readStyle(id);
  const faults = faultsOf(style);

  it('have unique kebab-case ids', () => {
    const ids = faults.map((fault) => fault.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.filter((each) => !/^[a-z0-9]+(-[a-z0-9]+)*$/.test(each))).toEqual([]);
  });

  it('have one sentence and one next probe each, with no placeholder left', () => {
    for (const { sentence, nextProbe } of faults) {
      expect(sentence).toMatch(/^[A-Z].*\.$/);
      expect(nextProbe).toMatch(/^[A-Z].*\.$/);
      expect(`${sentence}${nextProbe}`).not.toMatch(/undefined|rig\.[a-z]|\[object/);
    }
  });

  it('are short enough to be read aloud, and say no place twice', () => {
    for (const { sentence, nextProbe } of faults) {
      expect(sentence.length, sentence).toBeLessThanOrEqual(120);
      expect(nextProbe.length, nextProbe).toBeLessThanOrEqual(150);
      for (const place of sentence.match(/\b\w+ of K\d|\b[abc]\d of the switch/g) ?? []) {
        expect(sentence.split(place), sentence).toHaveLength(2);
      }
    }
  });
});

describe('faults that no reading of the rig tells apart', () => {
  const groupOf = (style: string, fault: string) => faultById({ style: readStyle(style) }, fault).group;

  it('are the opens of one unbranched path: rest contact or its ground wire, coil or its trigger wire', () => {
    const pair = 'relay-pair-ground-thrown';
    expect(groupOf(pair, 'k1-four-pin')).toBe(groupOf(pair, 'k1-87a-ground-open'));
    expect(groupOf(pair, 'k2-coil-open')).toBe(groupOf(pair, 'trigger-reverse-open'));
    expect(groupOf(pair, 'k1-make-open')).toBe(groupOf(pair, 'k1-87-feed-open'));
    expect(groupOf(pair, 'k1-coil-open')).not.toBe(groupOf(pair, 'k2-coil-open'));
    expect(groupOf(pair, 'feed-open')).toBeUndefined();
  });

  it('read the same in the solver', () => {
    const style = readStyle('relay-pair-ground-thrown');
    for (const position of ['forward', 'reverse'] as const) {
      const wire = symptom(style, { faults: ['k1-87a-ground-open'], position });
      const relay = symptom(style, { faults: ['k1-four-pin'], position });
      expect(relay.thrown.leadAV).toBeCloseTo(wire.thrown.leadAV, 6);
      expect(relay.thrown.motorA).toBeCloseTo(wire.thrown.motorA, 6);
      expect(relay.released.leadAV).toBeCloseTo(wire.released.leadAV, 3);
    }
  });
});

it('names what a wrong fault id should have been asked of', () => {
  expect(() => faultById({ style: readStyle('single-relay') }, 'k9-open')).toThrow(
    /single-relay has no fault k9-open/,
  );
});
