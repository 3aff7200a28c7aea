// A relay's coil: its resistance, what lies across it, its armature's mark. That less than 11 Ohm is no winding and a
// resistor may be off by a quarter is common practice, no source.

import { describe, expect, it } from 'vitest';
import { passesBy } from '../../../host/judge/relay/coil-checks.js';
import type { SuppressionSeen } from '../../../host/measure/index.js';
import type { RelayProfile } from '../../../host/profile/index.js';
import { type MadeRelay, relayCheck, seenOf } from './handmade.js';

const NONE: SuppressionSeen = { kind: 'none' };
const SHORTED: SuppressionSeen = { kind: 'shorted' };

describe('between 85 and 86', () => {
  const resistance = (made: MadeRelay) =>
    relayCheck('coil-resistance', { relay: { origin: 'maker' }, ...made });

  it('a coil has what its profile says, at the temperatures of the bench', () => {
    const check = resistance({ read: { coilCurrentA: 0.15, coilResistanceOhm: [75, 0.5] } });
    expect(check).toMatchObject({
      of: 'relay',
      origin: 'maker',
      outcome: 'pass',
      required: true,
      value: 75,
    });
    // 80.07 and 89.93 Ohm beside 680, at 0 and 40 C; by hand.
    expect(check.lower).toBeCloseTo(71.635 * 0.9214, 2);
    expect(check.upper).toBeCloseTo(79.426 * 1.0786, 2);
    expect(resistance({ read: { coilResistanceOhm: [120, 0.5] } })).toMatchObject({
      outcome: 'fail',
      sentence:
        'Between 85 and 86 the coil has 120.0 ± 0.5 Ω (expected 66.0 to 85.7 Ω). Limits hold for a coil of 0 to 40 °C.',
    });
  });

  it('a coil that was not measured is not tested', () => {
    expect(resistance({})).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Resistance of the coil not measured, coil current or supply was not sampled.',
    });
  });

  it.each<[string, MadeRelay]>([
    ['that suppression shows to be open', { suppression: { kind: 'open' } }],
    ['that was on and shows no resistance', { read: { coilCurrentA: 0 } }],
  ])('a coil %s takes no current', (_, made) => {
    expect(resistance(made)).toMatchObject({
      outcome: 'fail',
      origin: 'maker',
      sentence: 'The coil takes no current: open between 85 and 86.',
    });
  });

  it('a test current that goes past the winding kept the full supply off', () => {
    expect(resistance({ suppression: SHORTED })).toMatchObject({
      outcome: 'fail',
      origin: 'maker',
      sentence:
        'With plus on 86 the test current meets next to nothing in place of the winding: a diode that conducts this way, a wrong terminal, or a short. The full supply was not put on it. Exchange 85 and 86 and run again.',
    });
  });

  it('a test current that goes past the winding meets so many ohms, on a bench that went on', () => {
    const at = (markedTestOhm: number) =>
      resistance({ read: { markedTestOhm, coilCurrentA: 0.2, coilResistanceOhm: 75 } }).sentence;
    expect(at(4.4)).toBe(
      'With plus on 86 the test current meets 4 Ω in place of the winding: a diode that conducts this way, a wrong terminal, or a short. Exchange 85 and 86 and run again.',
    );
    expect(at(-2)).toContain('meets 0 Ω in place');
  });
});

describe('a test current', () => {
  const goesPast = (read: MadeRelay['read'], suppression: SuppressionSeen = NONE) =>
    passesBy(seenOf({ suppression, ...(read === undefined ? {} : { read }) }));
  it('goes past the winding where both ways are shorted, or plus on 86 meets less than 11 Ohm', () => {
    expect(goesPast({}, SHORTED)).toBe(true);
    expect(goesPast({ markedTestOhm: 10.9 })).toBe(true);
    expect(goesPast({ markedTestOhm: 11 })).toBe(false);
    expect(goesPast({ exchangedTestOhm: 1 })).toBe(false);
    expect(goesPast({})).toBe(false);
  });
});

describe('across the coil', () => {
  const diodeAt = (anodeAt: '85' | '86'): RelayProfile['suppression'] & { kind: 'diode' } => ({
    kind: 'diode',
    anodeAt,
    forwardVoltageV: 0.7,
  });
  const RESISTOR = { kind: 'resistor', resistanceOhm: 680 } as const;
  const across = (suppression: SuppressionSeen, wanted: RelayProfile['suppression'] = RESISTOR) => {
    const { outcome, sentence, of, origin } = relayCheck('suppression', {
      suppression,
      relay: { suppression: wanted, origin: 'maker' },
    });
    expect([of, origin]).toEqual(['relay', 'maker']);
    return [outcome, sentence];
  };
  const resistor = (ohm: number, standardUncertainty = 10): SuppressionSeen => ({
    kind: 'resistor',
    ohm,
    standardUncertainty,
  });

  it.each<[string, SuppressionSeen, RelayProfile['suppression'], string, string]>([
    [
      'nothing where nothing belongs',
      NONE,
      { kind: 'none' },
      'pass',
      'Across the coil lies nothing, as it should be.',
    ],
    [
      'nothing where a resistor belongs',
      NONE,
      RESISTOR,
      'fail',
      'Across the coil lies nothing; a resistor of 680 Ω belongs there.',
    ],
    [
      'a resistor where nothing belongs',
      resistor(681.4),
      { kind: 'none' },
      'fail',
      'Across the coil lies a resistor of 681 ± 20 Ω; nothing belongs there.',
    ],
    [
      'a diode where a resistor belongs',
      { kind: 'diode', anodeAt: '85' },
      RESISTOR,
      'fail',
      'Across the coil lies a diode with its anode on 85; a resistor of 680 Ω belongs there. A diode makes it let go slowly.',
    ],
    [
      'nothing where a diode belongs',
      NONE,
      diodeAt('85'),
      'fail',
      'Across the coil lies nothing; a diode with its anode on 85 belongs there.',
    ],
    [
      'the diode that belongs there',
      { kind: 'diode', anodeAt: '86' },
      diodeAt('86'),
      'pass',
      'Across the coil lies a diode with its anode on 86, as it should be.',
    ],
    [
      'a diode the other way round',
      { kind: 'diode', anodeAt: '86' },
      diodeAt('85'),
      'fail',
      'Across the coil lies a diode with its anode on 86; it belongs the other way round.',
    ],
  ])('lies %s', (_, seen, wanted, outcome, sentence) => {
    expect(across(seen, wanted)).toEqual([outcome, sentence]);
  });

  it('a resistor may be off by a quarter and its uncertainty', () => {
    // 680 x 0.25 + 2 x 10 = 190 either way.
    expect(across(resistor(870))).toEqual([
      'pass',
      'Across the coil lies a resistor of 870 ± 20 Ω; 680 Ω belongs there.',
    ]);
    expect(across(resistor(871))[0]).toBe('fail');
    expect(across(resistor(490))[0]).toBe('pass');
    expect(across(resistor(489))[0]).toBe('fail');
  });

  it('nothing is tested of a coil that is open, shorted, or was not tried', () => {
    expect(across({ kind: 'open' })).toEqual(['not-tested', 'Suppression is not tested: the coil is open.']);
    expect(across(SHORTED)).toEqual(['not-tested', 'Suppression is not tested: the coil is shorted.']);
    expect(across({ kind: 'unknown', why: 'nobody looked' })).toEqual([
      'not-tested',
      'Suppression of the coil is not tested: nobody looked.',
    ]);
  });
});

describe('the armature', () => {
  it('marks the coil current when it moves', () => {
    expect(relayCheck('armature-dip', { read: { dipS: 0.0054 } })).toMatchObject({
      of: 'relay',
      required: false,
      outcome: 'pass',
      sentence: 'The armature moves: it marks the coil current 5.4 ms after switching on.',
    });
  });
  it('that leaves no mark may move all the same', () => {
    expect(relayCheck('armature-dip')).toMatchObject({
      required: false,
      outcome: 'not-tested',
      sentence: 'No mark of the armature in the coil current; its contacts tell whether it moves.',
    });
  });
});

describe('the mark of the armature', () => {
  const dip = (read: MadeRelay['read']) => relayCheck('armature-dip', read === undefined ? {} : { read });

  it('passes where it was seen, and is not tested where nothing can be told', () => {
    expect(dip({ dipS: 0.005, armatureMoves: 1 })).toMatchObject({ outcome: 'pass' });
    expect(dip({})).toMatchObject({ outcome: 'not-tested' });
  });

  it('fails a coil that rises in one sweep where no contact turned over, and accuses nobody where one did', () => {
    expect(dip({ armatureMoves: 0, cyclesOperated: 0 })).toMatchObject({
      outcome: 'fail',
      sentence:
        'The coil current rises in one sweep, without the mark of an armature that moves: it is held, and no contact turned over.',
    });
    expect(dip({ armatureMoves: 0, cyclesOperated: 3 }).outcome).toBe('not-tested');
    expect(dip({ armatureMoves: 0 }).outcome).toBe('not-tested');
  });
});
