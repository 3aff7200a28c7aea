// Meter checks before power: every fault that a meter can see is seen, no reading is spare, and the jumpers of a
// six-terminal switch are told apart by readings alone.

import { describe, expect, it } from 'vitest';
import {
  buildUnitCircuit,
  type Fault,
  type FaultEdit,
  faultById,
  nominalInput,
} from '../../host/circuit/index.js';
import { CircuitsInPieces } from '../../host/diagnose/index.js';
import {
  isSeen,
  type MeterReading,
  meterChecks,
  meterReadings,
  metersFaults,
  showsOf,
} from '../../host/plan/index.js';
import { BenchOf } from '../../host/probe/index.js';
import { type CircuitStyle, loadCircuit, loadUnit } from '../../host/profile/index.js';
import { faultsOf, TABLES } from './jumper-rows.js';

const STYLES = [
  'switch-carried-open-rest',
  'switch-carried-grounded-rest',
  'switch-motor-on-commons',
  'main-and-remote-switch',
  'relay-pair-ground-thrown',
  'relay-pair-positive-thrown',
  'relay-pair-rests-high',
  'single-relay',
  'limit-actuator-switch',
  'limit-actuator-relay-pair',
  'motor-alone',
];
const unitOn = (style: CircuitStyle) => ({ ...loadUnit('entry-step-relays'), style });
const on = (circuit: string) => unitOn(loadCircuit(circuit));

describe.each(STYLES)('the proving set of %s', (circuit) => {
  const unit = on(circuit);
  const { checks, unseen } = meterChecks(unit);

  it('shows every fault of the list that any reading shows, and names the others', () => {
    const hidden = new Set(unseen.map(({ id }) => id));
    for (const fault of metersFaults(unit)) {
      const found = checks.filter(({ reading }) => isSeen(reading, [fault]));
      expect(found.length > 0, fault.id).toBe(!hidden.has(fault.id));
    }
    // Nothing is called hidden that one of all possible readings would show.
    const all = meterReadings(unit);
    for (const fault of unseen)
      expect(all.filter((reading) => isSeen(reading, [fault])).map(({ id }) => id)).toEqual([]);
  });

  it('cannot do without any of its readings', () => {
    expect(checks.length).toBeGreaterThan(0);
    for (const { onlyHere, reading } of checks) {
      expect(onlyHere.length, reading.id).toBeGreaterThan(0);
      for (const fault of onlyHere)
        expect(
          checks.filter((other) => isSeen(other.reading, [fault])).map((other) => other.reading.id),
        ).toEqual([reading.id]);
    }
  });

  it('sees no open wire as good, and no joint of half an ohm as bad', () => {
    const ids = new Set(unseen.map(({ id }) => id));
    for (const fault of metersFaults(unit)) {
      if (fault.parts[0]?.kind !== 'wire' || fault.parts.length > 1) continue;
      if (fault.what === 'open' || fault.what === 'missing') expect(ids.has(fault.id), fault.id).toBe(false);
      // Two standard uncertainties of 0.3 Ohm hide it: it takes current.
      if (fault.what === 'resistance') expect(ids.has(fault.id), fault.id).toBe(true);
    }
  });
});

describe('a unit without harness or without motor', () => {
  it('has its relay measured in the hand, and its load left out', () => {
    const alone = meterChecks(loadUnit('mini-changeover-alone')).checks;
    expect(alone.map(({ reading }) => reading.id)).toEqual(['k1 85 86', 'k1 30 87a']);
    const { checks } = meterChecks(loadUnit('relay-pair-harness-load'));
    expect(checks.length).toBeGreaterThan(0);
    expect(checks.some(({ reading }) => reading.range === 'diode')).toBe(false);
  });
});

describe('every pair of places', () => {
  it.each(['main-and-remote-switch', 'switch-motor-on-commons'])(
    'of %s reads what the transient solver says under 2 V through 2 kOhm',
    (circuit) => {
      const unit = on(circuit);
      const readings = meterReadings(unit).filter(({ id }) => id.startsWith('0 '));
      const faults = metersFaults(unit).filter(({ what }) => what === 'open' || what === 'b-on-b1');
      let compared = 0;
      for (const present of [[], ...faults.slice(0, 4).map((fault) => [fault])]) {
        const build = (edits: readonly Fault[]) => buildUnitCircuit({ ...nominalInput(unit), faults: edits });
        const bench = new BenchOf(new CircuitsInPieces(unit, present, build), 'limited');
        const places = new Map(bench.places.map((place) => [place.id, place]));
        for (const { from, to, shown } of readings) {
          const [one, other] = [places.get(from.id), places.get(to.id)];
          // The rig's own loads of some kiloohm hang on the plug there, and are no part of the harness here.
          if (one === undefined || other === undefined) continue;
          const ohm = bench.harnessOhm(one, other);
          if (shown(present) < 100) expect(ohm, `${from.id} ${to.id}`).toBeCloseTo(shown(present), 3);
          else expect(ohm, `${from.id} ${to.id}`).toBeGreaterThan(1000);
          compared++;
        }
      }
      expect(compared).toBeGreaterThan(100);
    },
    60_000,
  );
});

describe('a reading', () => {
  const readings = meterReadings(on('relay-pair-ground-thrown'));
  const named = (id: string): MeterReading => {
    const found = readings.find((reading) => reading.id === id);
    if (found === undefined) throw new Error(`no reading ${id}`);
    return found;
  };

  it('of a coil with a resistor beside it is the two in parallel', () => {
    // Published sheet of a micro relay: 80 Ohm beside 680 Ohm read as 71.6 Ohm. Here 85 Ohm at 20 C: 75.56 Ohm.
    const coil = named('k1 85 86');
    expect(coil.shown([])).toBeCloseTo((85 * 680) / (85 + 680), 2);
    expect((80 * 680) / (80 + 680)).toBeCloseTo(71.6, 1);
    const { least, most } = showsOf(coil, coil.shown([]));
    expect(least).toBeGreaterThan(66);
    expect(most).toBeLessThan(85);
  });

  it('of wires one behind the other is the sum of their copper', () => {
    // Closed form, IEC 60028: 0.1 m each of 2.5 mm2 at 58 MS/m, between 87 of K1 and 87 of K2.
    expect(named('0 k1-87 k2-87').shown([])).toBeCloseTo((2 * 0.1) / 58 / 2.5, 6);
  });

  it('changes from below an ohm to open with a wire off, within it with a corroded joint', () => {
    const { style } = on('relay-pair-ground-thrown');
    const between = named('0 k1-87 k2-87');
    expect(between.shown([faultById({ style }, 'k1-87-feed-open')])).toBe(Number.POSITIVE_INFINITY);
    expect(between.shown([faultById({ style }, 'k1-87-feed-resistance')])).toBeCloseTo(
      0.5 + 0.2 / 58 / 2.5,
      4,
    );
  });
});

/** What a throw does, by what a meter finds joined to what. */
function told(style: CircuitStyle, edits: readonly FaultEdit[], position: number): string {
  const unit = unitOn(style);
  const faults = faultsOf(style, edits);
  const readings = meterReadings(unit).filter(({ id }) => id.startsWith(`${position} `));
  const joined = (one: string, other: string): boolean => {
    const found = readings.find(
      ({ from, to }) => [from.id, to.id].sort().join() === [one, other].sort().join(),
    );
    if (found === undefined) throw new Error(`no reading from ${one} to ${other}`);
    return found.shown(faults) < 1;
  };
  const [feed, ground, a, b] = ['rig.feed', 'rig.ground', 'rig.lead-a', 'rig.lead-b'] as const;
  if (joined(feed, ground)) return 'short';
  if (joined(feed, a) && joined(ground, b)) return '+';
  if (joined(feed, b) && joined(ground, a)) return '-';
  if (joined(feed, a) || joined(feed, b)) return 'dead high';
  return joined(ground, a) || joined(ground, b) ? 'dead low' : 'nothing';
}

describe.each(TABLES)('jumpers with $words', ({ style, rows }) => {
  const { checks } = meterChecks(unitOn(style));

  it.each(rows)('$words: are found as what they do', ({ edits, does }) => {
    expect([0, 1, 2].map((position) => told(style, edits, position))).toEqual(does);
  });

  it.each(rows.filter(({ edits }) => edits.length > 0))(
    '$words: turn a reading of the proving set',
    ({ edits }) => {
      const faults = faultsOf(style, edits);
      expect(checks.filter(({ reading }) => isSeen(reading, faults)).length).toBeGreaterThan(0);
    },
  );

  it('read differently in every row', () => {
    const readings = meterReadings(unitOn(style)).filter(({ range }) => range === 'ohms');
    const patterns = rows.map(({ edits }) => {
      const faults = faultsOf(style, edits);
      return readings.map((reading) => (reading.shown(faults) < 1 ? '-' : 'o')).join('');
    });
    expect(new Set(patterns).size).toBe(rows.length);
  });
});
