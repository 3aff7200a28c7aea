// Circuit styles as files: those that ship, one more that nobody's code knows, and faulty ones.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { stringify } from 'yaml';
import { faultsOf } from '../../host/circuit/index.js';
import { checkShape, circuitStyleSchema, YamlFile } from '../../host/profile/index.js';
import { readStyle, styleIds, symptom, told } from './symptom-bench.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-styles-'));
afterAll(() => rmSync(folder, { recursive: true }));

const load = (name: string, style: unknown) => {
  const path = join(folder, `${name}.yaml`);
  writeFileSync(path, stringify(style));
  return checkShape(circuitStyleSchema, YamlFile.read(path));
};

const IDS = styleIds();

describe('a style that ships', () => {
  it('is one of at least nine', () => expect(IDS.length).toBeGreaterThanOrEqual(9));
  it.each(IDS)('%s states rest state, polarity, return path, hook-up and all six channels', (id) => {
    const style = readStyle(id);
    expect(style.id).toBe(id);
    expect(style.hookUp.length).toBeGreaterThan(1);
    expect(Object.keys(style.sense)).toHaveLength(6);
    expect(style.polarity.forward).toBe('positive');
  });
  it.each(IDS)('%s polarity, rest state and release are what the solver finds', (id) => {
    const style = readStyle(id);
    const brief = {
      ...style,
      elements: style.elements.map((each) =>
        each.kind === 'limit'
          ? { ...each, opensAboveRad: 1e6, opensBelowRad: -1e6 }
          : each.kind === 'motor'
            ? { id: each.id, kind: each.kind, a: each.a, b: each.b }
            : each,
      ),
    };
    const forward = symptom(brief, { position: 'forward' });
    const reverse = symptom(brief, { position: 'reverse' });
    const WORD = { positive: '+', negative: '-', none: 'dead L/L' };
    expect(told(forward.thrown)).toBe(WORD[style.polarity.forward]);
    expect(told(reverse.thrown)).toBe(WORD[style.polarity.reverse]);
    expect(told(forward.rest)).toBe(style.restState === 'high' ? 'dead H/H' : 'dead L/L');
    const isBraked = Math.abs(forward.released.motorA) > 1;
    expect(isBraked ? 'brake' : 'coast').toBe(style.release);
  });
});

/** A fan: the motor always on the feed through a resistor or not, as a two-position switch in the ground wire says. */
const NINTH = {
  id: 'ground-switched-fan',
  title: 'Fan switched in the ground wire',
  kind: 'circuit',
  summary: 'Lead A is always on the feed; throwing joins lead B to ground.',
  hookUp: ['Feed wire to the rig feed, ground wire to the rig ground.'],
  restState: 'high',
  release: 'coast',
  thrownBy: 'stand-in',
  polarity: { forward: 'positive', reverse: 'none' },
  returnPath: { forward: 'from lead B through the switch to ground', reverse: 'none' },
  elements: [
    { id: 'feed', kind: 'wire', role: 'feed', a: 'rig.feed', b: 'plug' },
    { id: 'lead-a', kind: 'wire', role: 'lead', a: 'plug', b: 'rig.lead-a' },
    {
      id: 'switch',
      kind: 'switch',
      poles: [{ id: 'contact', common: 'out', throws: { low: 'ground-pin' } }],
    },
    { id: 'lead-b', kind: 'wire', role: 'lead', a: 'out', b: 'rig.lead-b' },
    { id: 'ground', kind: 'wire', role: 'ground', a: 'ground-pin', b: 'rig.ground' },
    { id: 'motor', kind: 'motor', a: 'rig.motor-a', b: 'rig.motor-b' },
  ],
  positions: { rest: { switch: 'rest' }, forward: { switch: 'low' }, reverse: { switch: 'rest' } },
};

describe('a style that is one new file', () => {
  it('runs, rests and has faults of its own without any code', () => {
    const style = load('ground-switched-fan', NINTH);
    const { rest, thrown, released } = symptom(style, {});
    expect([told(rest), told(thrown)]).toEqual(['dead H/H', '+']);
    // Open lead B: it stands a back-EMF below the feed.
    expect(released.leadAV - released.leadBV).toBeGreaterThan(9);
    expect(faultsOf(style).map(({ id }) => id)).toContain('switch-low-open');
    expect(told(symptom(style, { faults: ['switch-low-open'] }).thrown)).toBe('dead H/H');
  });

  it('is read where the rig itself reads, but for the channels that it says are read elsewhere', () => {
    const usual = load('read-as-usual', NINTH).sense;
    // Where the reference rig has its shunts, leads and supply post: RIG.md.
    expect(usual).toEqual({
      feedCurrentA: { current: 'rig.feed-shunt' },
      motorCurrentA: { current: 'rig.motor-shunt' },
      coilCurrentA: { current: 'rig.coil-shunt' },
      leadAVoltageV: { voltage: 'rig.motor-a' },
      leadBVoltageV: { voltage: 'rig.motor-b' },
      supplyVoltageV: { voltage: 'rig.supply' },
    });
    const moved = { leadBVoltageV: { voltage: 'out', against: 'plug' } };
    expect(load('read-elsewhere', { ...NINTH, sense: moved }).sense).toEqual({ ...usual, ...moved });
    expect(() => load('read-nowhere', { ...NINTH, sense: { leadBVoltageV: { voltage: 'outt' } } })).toThrow(
      /nothing is joined to outt/,
    );
  });

  const broken = (change: (copy: typeof NINTH) => void): (() => unknown) => {
    const copy = structuredClone(NINTH);
    change(copy);
    return () => load('broken', copy);
  };
  it('is refused with the place and the mend when a node is misspelt', () => {
    expect(broken((copy) => void Object.assign(copy.elements[1]!, { a: 'plugg' }))).toThrow(
      /elements\[0\]: feed: nothing else is joined to plug; correct its name/,
    );
  });
  it('is refused when a position names what is not there', () => {
    expect(broken((copy) => void Object.assign(copy.positions.forward, { switch: 'high' }))).toThrow(
      /switch has no position high; use one of rest, low/,
    );
  });
  it('is refused when two elements share an id, or when the rig has no such terminal', () => {
    expect(broken((copy) => void Object.assign(copy.elements[1]!, { id: 'feed' }))).toThrow(
      /feed stands twice/,
    );
    expect(broken((copy) => void Object.assign(copy.elements[0]!, { a: 'rig.fed' }))).toThrow(
      /rig has no rig\.fed/,
    );
  });
  it('is refused without a motor', () => {
    expect(broken((copy) => void copy.elements.pop())).toThrow(/no motor/);
  });
  it('is refused for a wire of two sizes, or one that leads back to where it began', () => {
    expect(
      broken(({ elements: [feed] }) => {
        if (feed?.kind === 'wire') Object.assign(feed, { areaMm2: 1, awg: 16 });
      }),
    ).toThrow(/two sizes, areaMm2 1 and awg 16; keep one of them/);
    expect(
      broken(({ elements: [feed] }) => {
        if (feed?.kind === 'wire') Object.assign(feed, { a: feed.b });
      }),
    ).toThrow(/both ends of feed are at \S+; name its other end/);
  });
});
