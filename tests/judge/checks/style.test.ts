// The question whether the profile is right, when a run reads like another kind of circuit.

import { describe, expect, it } from 'vitest';
import { styleCheck } from '../../../host/judge/checks/style.js';
import { REST } from '../../../host/measure/index.js';
import { contextOf, FORWARD, type Handmade, REVERSE, segmentOf, shipped } from '../handmade.js';

/** Brakes to ground, worked by relays. */
const PAIR = shipped('entry-step-relays');
const RESTS_LOW = [REST, { leadAVoltageV: 0, leadBVoltageV: 0, supplyVoltageV: 12 }] as const;
const COILS = [FORWARD, { coilCurrentA: 0.14, motorVoltageV: 11 }] as const;
const braking = [FORWARD, REVERSE].map((of) => segmentOf(of, { release: 'brake-ground' }));
const coasting = [FORWARD, REVERSE].map((of) => segmentOf(of, { release: 'coast' }));
const asked = (made: Handmade) => styleCheck(contextOf({ unit: PAIR, ...made }));

describe('whether the profile is right', () => {
  it('is not asked while the readings fit', () => {
    expect(asked({ read: [RESTS_LOW, COILS], segments: braking })).toEqual([]);
  });

  it('is asked, and only asked, when they do not', () => {
    const [check, ...more] = asked({ read: [RESTS_LOW, COILS], segments: coasting });
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'circuit-style',
      of: 'harness',
      outcome: 'not-tested',
      required: false,
      origin: 'model',
      sentence:
        "This reads like a circuit that lets the motor coast when released; the profile's brakes the motor to ground: is the profile right?",
    });
  });

  it('is asked once for all that does not fit', () => {
    const high = [REST, { leadAVoltageV: 12, leadBVoltageV: 12, supplyVoltageV: 12 }] as const;
    expect(asked({ read: [high], segments: coasting })[0]?.sentence).toBe(
      "This reads like a circuit that rests high, both leads at the feed; the profile's rests on ground or open, and like a circuit that lets the motor coast when released; the profile's brakes the motor to ground: is the profile right?",
    );
  });

  it('takes the nominal voltage where no supply was read', () => {
    const high = [REST, { leadAVoltageV: 9.5, leadBVoltageV: 9.5 }] as const;
    expect(asked({ read: [high] })[0]?.sentence).toContain('rests high');
    const low = [REST, { leadAVoltageV: 8.5, leadBVoltageV: 8.5 }] as const;
    expect(asked({ read: [low] })).toEqual([]);
  });

  it.each<[string, Handmade]>([
    ['a run that was stopped', { stop: 'over-current' }],
    ['a motor alone', { unit: shipped('entry-step-alone') }],
    ['a relay alone', { unit: { ...PAIR, unit: { ...PAIR.unit, subject: 'relay' } } }],
    ['a style that judges a part alone', { unit: { ...PAIR, style: { ...PAIR.style, subject: 'motor' } } }],
  ])('is not asked of %s', (_, made) => {
    expect(asked({ read: [RESTS_LOW, COILS], segments: coasting, ...made })).toEqual([]);
  });

  it('is not asked of a release that a known load cannot show', () => {
    const unit = shipped('relay-pair-harness-load');
    expect(asked({ unit, read: [RESTS_LOW, COILS], segments: coasting })).toEqual([]);
  });
});
