// What hangs on the leads beside the motor, what sits inside it, and a coil on a bad ground joint: lead states and
// currents derived from circuit equations with the set-up of symptom-bench.ts.

import { describe, expect, it } from 'vitest';
import { faultsOf } from '../../host/circuit/index.js';
import { leads, readStyle, symptom, told, trialRun } from './symptom-bench.js';

const PAIR = readStyle('relay-pair-ground-thrown');
const POSITIVE = readStyle('relay-pair-positive-thrown');
const OPEN_REST = readStyle('switch-carried-open-rest');

const ids = (style: typeof PAIR) => faultsOf(style).map(({ id }) => id);
const both = (style: typeof PAIR, fault: string) =>
  (['forward', 'reverse'] as const).map((position) => symptom(style, { faults: [fault], position }));

describe('a lamp of 5 W from a live wire onto lead A', () => {
  /** 13 V across 13 x 13 / 5 Ohm. */
  const LAMP_A = 5 / 13;

  it('lights at rest where the lead rests on ground, and both throws run', () => {
    const [forward, reverse] = both(PAIR, 'lead-a-lamp-feeds-back');
    expect(forward!.rest.feedA).toBeCloseTo(LAMP_A, 2);
    expect([told(forward!.rest), told(forward!.thrown), told(reverse!.thrown)]).toEqual([
      'dead L/L',
      '+',
      '-',
    ]);
    // Lead A is low: the lamp draws beside the motor what the shunt in lead A does not see.
    expect(reverse!.thrown.feedA - Math.abs(reverse!.thrown.motorA)).toBeCloseTo(LAMP_A, 1);
  });

  it('holds both open leads high, the other one through the motor', () => {
    expect(leads(symptom(OPEN_REST, { faults: ['lead-a-lamp-feeds-back'] }).rest)).toBe('H/H');
  });
});

describe('a second motor on the same leads', () => {
  it('doubles the feed current, 4 A of friction each, and leaves the shunt in lead A its own motor', () => {
    for (const position of ['forward', 'reverse'] as const) {
      const { thrown } = symptom(PAIR, { position, faults: ['second-motor'] });
      expect(thrown.feedA).toBeCloseTo(8, 1);
      expect(Math.abs(thrown.motorA)).toBeCloseTo(4, 1);
      // Of the levels 0.07 Ohm of source and feed take as much again.
      expect(told(thrown)).toBe(position === 'forward' ? '+' : '-');
    }
  });

  it('is nothing that a motor without a harness can have', () => {
    expect(ids(readStyle('motor-alone'))).not.toContain('second-motor');
  });
});

describe('water in the motor, 25 Ohm from each terminal to the case', () => {
  it('leaks in both throws, in reverse past the shunt in lead A', () => {
    const [forward, reverse] = both(OPEN_REST, 'motor-wet');
    expect([told(forward!.thrown), told(reverse!.thrown)]).toEqual(['+', '-']);
    expect(forward!.thrown.feedA - forward!.thrown.motorA).toBeCloseTo(0, 2);
    expect(reverse!.thrown.feedA + reverse!.thrown.motorA).toBeCloseTo(12.7 / 25, 1);
    // 4 A of friction, 12.7 V over 25 Ohm to the case and 12.6 V over 50 Ohm past the armature.
    expect(forward!.thrown.motorA).toBeCloseTo(4 + 12.7 / 25 + 12.6 / 50, 1);
  });
});

describe('another kind of motor on the two leads', () => {
  it('split field: both throws drive its armature the same way, and part of the current goes to the case', () => {
    const [forward, reverse] = both(OPEN_REST, 'motor-split-field');
    // The switch holds the other lead on ground: 12.5 V over two fields of 0.4 Ohm in series at the least.
    expect(leads(forward!.thrown)).toBe('H/L');
    expect(forward!.thrown.feedA).toBeGreaterThan(12 / 0.8);
    // What comes back through lead B in reverse is less than what the feed gives: the rest goes to the case.
    expect(reverse!.thrown.feedA - Math.abs(reverse!.thrown.motorA)).toBeGreaterThan(1);
    expect(Math.sign(forward!.thrown.speedRadS)).toBe(Math.sign(reverse!.thrown.speedRadS));
  });

  it('sensor pins: the leads fed and some 11 mA, 13 V over 1.2 kOhm', () => {
    const [forward, reverse] = both(PAIR, 'motor-sensor-pins');
    expect([told(forward!.thrown), told(reverse!.thrown)]).toEqual(['dead H/L', 'dead L/H']);
    expect(forward!.thrown.motorA).toBeCloseTo(13 / 1200, 3);
  });
});

describe('a protector that opens early', () => {
  it('lets the motor run, then leaves the leads fed without current', () => {
    const run = trialRun(PAIR, { faults: ['motor-protector-weak'] });
    expect(run.events.filter(({ what }) => what === 'tripped')).toHaveLength(1);
    const { thrown } = symptom(PAIR, { faults: ['motor-protector-weak'] });
    expect(told(thrown)).toBe('dead H/L');
  });
});

describe('the same mistake twice at one switch', () => {
  const SWITCHED = readStyle('switch-motor-on-commons');
  const words = (style: typeof PAIR, fault: string) => both(style, fault).map(({ thrown }) => told(thrown));

  it('no jumper at all: nothing in the throw that needs them, both leads at ground through the rig alone', () => {
    expect(words(OPEN_REST, 'jumpers-missing')).toEqual(['+', 'dead L/L']);
    expect(words(SWITCHED, 'jumpers-missing')).toEqual(['+', 'dead L/L']);
  });

  it('both contacts of a throw open or burnt: that throw alone', () => {
    expect(words(OPEN_REST, 'switch-both-forward-open')).toEqual(['dead L/L', '-']);
    const [forward, reverse] = both(OPEN_REST, 'switch-both-forward-burnt');
    // 4 A through half an ohm more in each lead: 12.7 - 2 and 0.1 + 2 V.
    expect(forward!.thrown.leadAV).toBeCloseTo(10.7, 1);
    expect(forward!.thrown.leadBV).toBeCloseTo(2.1, 1);
    expect(reverse!.thrown.leadBV).toBeCloseTo(12.7, 1);
  });

  it('is a pair only where there are two: one jumper or one pole has none', () => {
    expect(ids(readStyle('switch-carried-grounded-rest')).filter((id) => id.includes('both'))).toEqual([]);
  });
});

describe('the main fuse of a style that has one', () => {
  it('blown lies in one path with the feed wire, and both leads stay at ground', () => {
    const style = readStyle('switch-motor-on-commons');
    const groupOf = (fault: string) => faultsOf(style).find(({ id }) => id === fault)?.group;
    expect(groupOf('main-fuse-blown')).toBeDefined();
    expect(groupOf('main-fuse-blown')).toBe(groupOf('feed-open'));
    expect(both(style, 'main-fuse-blown').map(({ thrown }) => told(thrown))).toEqual([
      'dead L/L',
      'dead L/L',
    ]);
  });
});

describe('the coil ground on the bad ground joint of the motor', () => {
  it('is for styles whose coils return to ground in the harness', () => {
    expect(ids(POSITIVE)).toContain('coil-ground-on-bad-motor-ground');
    expect(ids(PAIR).some((id) => id.includes('bad-motor-ground'))).toBe(false);
  });

  it('chatters: pulls in, the motor lifts the joint, drops out, and again', () => {
    const run = trialRun(POSITIVE, { faults: ['coil-ground-on-bad-motor-ground'] });
    const pulled = run.events.filter(({ element, what }) => element === 'k1' && what === 'pulled-in');
    expect(pulled.length).toBeGreaterThan(3);
  });
});
