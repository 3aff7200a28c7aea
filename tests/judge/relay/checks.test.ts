// The run of a relay as a whole: its end, its supply, the turning of the coil's supply.

import { describe, expect, it } from 'vitest';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import { ALONE, checksOf, type MadeRelay, relayCheck } from './handmade.js';

it('everything is asked, in this order', () => {
  expect(checksOf().map(({ id }) => id)).toEqual([
    'supply',
    'coil-resistance',
    'suppression',
    'armature-dip',
    'rest-contact',
    'operates',
    'returns',
    'weld',
    'operate-time',
    'release-time',
    'release-opens',
    'make-bounce',
    'break-bounce',
    'operate-gap',
    'release-gap',
    'make-drop',
    'break-drop',
    'pull-in',
    'drop-out',
  ]);
});

describe('a run that was stopped', () => {
  it('for over-current fails', () => {
    const [first, second] = checksOf({ stop: 'over-current' });
    expect(first).toMatchObject({
      id: 'over-current',
      of: 'unit',
      outcome: 'fail',
      required: true,
      sentence: 'The rig stopped for over-current: a short past the load.',
    });
    expect(second?.id).toBe('supply');
  });
  it('for anything else is not tested to its end', () => {
    expect(checksOf({ stop: 'stop-loop' })[0]).toMatchObject({
      id: 'plan',
      of: 'rig',
      outcome: 'not-tested',
      required: true,
      sentence: 'The run was stopped before its end; what was not run is not tested.',
    });
  });
});

describe('the supply with the coil on', () => {
  const supply = (volts: number, more: MadeRelay = {}) =>
    relayCheck('supply', { read: { coilSupplyVoltageV: [volts, 0.05] }, ...more });

  it('may be 85 to 130 % of the nominal voltage', () => {
    expect(supply(13)).toMatchObject({
      of: 'supply',
      origin: 'generic',
      outcome: 'pass',
      lower: expect.closeTo(10.2, 9),
      upper: expect.closeTo(15.6, 9),
      sentence: 'With the coil on the supply is 13.00 ± 0.05 V (expected 10.20 to 15.60 V).',
    });
    expect(supply(13, { relay: { nominalVoltageV: 24 } })).toMatchObject({
      lower: expect.closeTo(20.4, 9),
      upper: expect.closeTo(31.2, 9),
    });
  });

  it('never fails a relay: out of range, surely or not, it is not tested', () => {
    expect(supply(9)).toMatchObject({ outcome: 'not-tested', value: 9 });
    expect(supply(10.18).outcome).toBe('not-tested');
    expect(supply(10.22).outcome).toBe('conditional-pass');
  });

  it('is not tested where it was not read', () => {
    expect(relayCheck('supply').sentence).toBe('Supply with the coil on not measured.');
  });
});

describe('the turning of the supply', () => {
  const [PULL_IN, DROP_OUT] = ['pull-in', 'drop-out'] as const;

  it('tells pull-in and drop-out, with what a bad one means', () => {
    const read = { pullInVoltageV: [9.5, 0.1], dropOutVoltageV: [0.8, 0.1] } as const;
    expect(relayCheck(PULL_IN, { read })).toMatchObject({
      of: 'relay',
      origin: 'published',
      required: true,
      outcome: 'fail',
      sentence:
        'It pulls in at 9.50 ± 0.10 V (at most 8.63 V). A relay like that works in winter and not in summer.',
    });
    expect(relayCheck(DROP_OUT, { read })).toMatchObject({
      of: 'relay',
      origin: 'published',
      required: true,
      outcome: 'fail',
      sentence: 'It drops out at 0.80 ± 0.10 V (at least 1.11 V). It may stay on by itself.',
    });
    const good = { pullInVoltageV: [7, 0.1], dropOutVoltageV: [2.6, 0.1] } as const;
    expect([PULL_IN, DROP_OUT].map((id) => relayCheck(id, { read: good }).outcome)).toEqual(['pass', 'pass']);
  });

  it('that was asked for and not made holds the verdict up', () => {
    for (const [id, words] of [
      [PULL_IN, 'Pull-in'],
      [DROP_OUT, 'Drop-out'],
    ] as const)
      expect(relayCheck(id)).toMatchObject({
        required: true,
        outcome: 'not-tested',
        sentence: `${words} not tested, the supply was not turned up and down, or the relay did not follow.`,
      });
  });

  it('that no plan asks for holds nothing up', () => {
    const steps = ALONE.plan.steps.map(({ ask: _, ...step }) => step);
    const unit: ResolvedUnit = { ...ALONE, plan: { ...ALONE.plan, steps } };
    expect(relayCheck(PULL_IN, { unit })).toMatchObject({
      required: false,
      outcome: 'not-tested',
      sentence: 'Pull-in not tested, this plan has no turning of the supply.',
    });
  });
});
