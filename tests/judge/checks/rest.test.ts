// At rest: where both leads stand, what the circuit draws, what the coils draw. Limits: 1.0 V as workshop terminal tables
// have it for a dead lead; 0.2 A and 10 mA are common practice, no source.

import { describe, expect, it } from 'vitest';
import { coilIsUsed, restChecks } from '../../../host/judge/checks/rest.js';
import { REST } from '../../../host/measure/index.js';
import { checkNamed, contextOf, FORWARD, type GoodAt, REVERSE, type Reads, told } from '../handmade.js';

/** Of a nominal supply of 12 V. */
const GROUNDED: GoodAt = [REST, { leadAVoltageV: 0, leadBVoltageV: 0.1 }];
const HIGH: GoodAt = [REST, { leadAVoltageV: 12, leadBVoltageV: 12 }];
const COILS: GoodAt[] = [
  [REST, { coilCurrentA: 0 }],
  [FORWARD, { coilCurrentA: 0.14 }],
];
const asked = (reads: Reads, good: readonly GoodAt[] = [GROUNDED]) =>
  restChecks(contextOf({ good, read: [[REST, reads]] }));

describe('leads of a style that rests on ground', () => {
  it('may stand within 1 V of where a good unit has them', () => {
    const checks = asked({
      leadAVoltageV: [0.02, 0.03],
      leadBVoltageV: [-0.3, 0.03],
      motorCurrentA: [0, 0.05],
    });
    expect(told(checks)).toEqual([
      ['rest-lead-a', 'pass', 'At rest lead A stands at 0.02 ± 0.03 V (expected -1.00 to 1.00 V).'],
      ['rest-lead-b', 'pass', 'At rest lead B stands at -0.30 ± 0.03 V (expected -0.90 to 1.10 V).'],
      ['rest-current', 'pass', 'With nothing thrown the circuit draws 0.00 ± 0.05 A (at most 0.20 A).'],
    ]);
    expect(checks.map(({ origin, of }) => [origin, of])).toEqual([
      ['published', 'harness'],
      ['published', 'harness'],
      ['generic', 'harness'],
    ]);
  });

  it('fail beyond that, and the sentence says how the style rests', () => {
    const [a] = asked({ leadAVoltageV: [1.2, 0.03], leadBVoltageV: 0 });
    expect(a).toMatchObject({
      outcome: 'fail',
      lower: -1,
      upper: 1,
      sentence:
        'At rest lead A stands at 1.20 ± 0.03 V (expected -1.00 to 1.00 V). This style rests with both leads on ground.',
    });
  });

  it('do not follow the supply', () => {
    expect(asked({ leadBVoltageV: 0, supplyVoltageV: 14 })[1]).toMatchObject({ lower: -0.9, upper: 1.1 });
  });

  it('are not asked about where nothing is known of them', () => {
    const checks = asked({ leadAVoltageV: 5, leadBVoltageV: 5 }, [[REST, { leadBVoltageV: 0 }]]);
    expect(checks.map(({ id }) => id)).toEqual(['rest-lead-b', 'rest-current']);
  });

  it('are not tested where they were not sampled', () => {
    expect(told(asked({})).slice(0, 2)).toEqual([
      ['rest-lead-a', 'not-tested', 'Lead A at rest not measured, there is no rest before the first throw.'],
      ['rest-lead-b', 'not-tested', 'Lead B at rest not measured, there is no rest before the first throw.'],
    ]);
  });
});

describe('leads of a style that rests high', () => {
  it('follow the supply that the run had', () => {
    const [a, b] = asked({ leadAVoltageV: 13.9, leadBVoltageV: 12.1, supplyVoltageV: 14 }, [HIGH]);
    expect(a).toMatchObject({ outcome: 'pass', lower: 13, upper: 15 });
    expect(b).toMatchObject({ outcome: 'fail', lower: 13, upper: 15 });
    expect(b?.sentence).toContain('This style rests with both leads at the feed.');
  });

  it('stand at the nominal supply where the supply was not read', () => {
    expect(asked({ leadAVoltageV: 12 }, [HIGH])[0]).toMatchObject({ lower: 11, upper: 13, outcome: 'pass' });
  });

  it('are high only above half of the supply', () => {
    const half: GoodAt = [REST, { leadAVoltageV: 6 }];
    const [a] = asked({ leadAVoltageV: 0, supplyVoltageV: 24 }, [half]);
    expect(a).toMatchObject({ lower: 5, upper: 7 });
    expect(a?.sentence).toContain('This style rests with both leads on ground.');
  });
});

describe('how a style rests', () => {
  const hint = (releases: readonly ('coast' | 'brake-ground')[]) =>
    restChecks(
      contextOf({
        good: [GROUNDED],
        read: [[REST, { leadAVoltageV: 5 }]],
        throws: [FORWARD, REVERSE].map((of, i) => ({ of, release: releases[i] })),
      }),
    )[0]?.sentence;
  it('is with open leads where a throw coasts', () => {
    expect(hint(['brake-ground', 'coast'])).toContain('This style rests with both leads open.');
  });
  it('is on ground where every throw brakes', () => {
    expect(hint(['brake-ground', 'brake-ground'])).toContain('This style rests with both leads on ground.');
  });
});

describe('the current at rest', () => {
  const current = (reads: Reads) => checkNamed(asked(reads), 'rest-current');

  it('is the larger one of motor and feed, whichever way it flows', () => {
    expect(current({ motorCurrentA: [-0.45, 0.01], feedCurrentA: [0.4, 0.02] })).toMatchObject({
      value: 0.45,
      expandedUncertainty: 0.01,
      outcome: 'fail',
      upper: 0.2,
      sentence:
        'With nothing thrown the circuit draws 450 ± 10 mA (at most 200 mA). It must draw nothing at rest.',
    });
    expect(current({ motorCurrentA: [0.3, 0.01], feedCurrentA: [-0.4, 0.02] })).toMatchObject({ value: 0.4 });
  });
  it('is the motor’s where both are the same', () => {
    const same = current({ motorCurrentA: [-0.3, 0.01], feedCurrentA: [0.3, 0.02] });
    expect(same.expandedUncertainty).toBe(0.01);
  });
  it('is the only one that was read', () => {
    expect(current({ motorCurrentA: -0.1 })).toMatchObject({ value: 0.1, outcome: 'pass' });
    expect(current({ feedCurrentA: -0.3 })).toMatchObject({ value: 0.3, outcome: 'fail' });
  });
  it('is not tested where none was read', () => {
    expect(told([current({})])).toEqual([
      [
        'rest-current',
        'not-tested',
        'Current at rest not measured, there is no rest before the first throw.',
      ],
    ]);
  });
});

describe('the coils at rest', () => {
  const coil = (reads: Reads) => checkNamed(asked(reads, COILS), 'rest-coil-current');

  it('may draw 10 mA, either way', () => {
    expect(coil({ coilCurrentA: [-0.004, 0.001] })).toMatchObject({
      outcome: 'pass',
      value: 0.004,
      origin: 'generic',
    });
    expect(coil({ coilCurrentA: [-0.1, 0.001] })).toMatchObject({
      outcome: 'fail',
      upper: 0.01,
      sentence: 'With nothing thrown the relay coils draw 100.0 ± 1.0 mA (at most 10 mA).',
    });
  });
  it('are not tested where they were not sampled', () => {
    expect(coil({}).sentence).toBe('Coil current at rest not measured, the coil feed was not sampled.');
  });
  it('are asked about only where a throw uses one, and the channel tells of rest', () => {
    const ids = (good: readonly GoodAt[]) => asked({ coilCurrentA: 0.1 }, good).map(({ id }) => id);
    const rest: GoodAt = [REST, { coilCurrentA: 0 }];
    expect(ids([rest, [FORWARD, { coilCurrentA: 0.01 }]])).toEqual(['rest-current']);
    expect(ids([rest])).toEqual(['rest-current']);
    expect(ids([[FORWARD, { coilCurrentA: 0.14 }]])).toEqual(['rest-current']);
  });
});

describe('a coil', () => {
  const used = (forwardA: number, reverseA: number) =>
    coilIsUsed(
      contextOf({
        good: [
          [FORWARD, { coilCurrentA: forwardA }],
          [REVERSE, { coilCurrentA: reverseA }],
        ],
      }),
    );
  it('is used where one throw draws more than a resting coil may', () => {
    expect(used(0, 0.14)).toBe(true);
    expect(used(0.0101, 0)).toBe(true);
    expect(used(0.01, 0.01)).toBe(false);
  });
  it('is not used where nothing is known of it', () => expect(coilIsUsed(contextOf())).toBe(false));
});
