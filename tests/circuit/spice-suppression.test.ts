// A motor with a suppression capacitor against the SPICE engine, finely enough to see what the capacitor does: the
// charging spike through the source's resistance, and the ring with the armature's inductance when the feed lets go.

import { describe, expect, it } from 'vitest';
import { type Netlist, simulate } from '../../host/circuit/index.js';
import { MOTOR } from '../references/circuit-spice/circuits.js';
import { CHANNELS, onGrid, peakOf, rmsDifference } from '../references/circuit-spice/compare.js';
import { spiceDeck } from '../references/circuit-spice/deck.js';
import { runSpice } from '../references/circuit-spice/engine.js';

const SOURCE_OHM = 0.5;
const CAPACITANCE_F = 4.7e-6;
const START_S = 2e-4;
const RELEASE_S = 1.4e-3;
const UNTIL_S = 2.4e-3;
const GRID_HZ = 2e6;

const netlist: Netlist = {
  elements: [
    {
      kind: 'supply',
      id: 'v',
      plus: 'feed',
      minus: 'ground',
      voltageV: 13,
      sourceResistanceOhm: SOURCE_OHM,
    },
    {
      kind: 'contact',
      id: 's',
      a: 'feed',
      b: 'a',
      closed: false,
      contactResistanceOhm: 0.001,
      closeDelayS: 0,
      openDelayS: 0,
    },
    // Without Coulomb friction, whose sticking SPICE lacks: in so short a run the shaft hardly moves.
    { ...MOTOR, coulombNm: 0, suppressionCapacitorF: CAPACITANCE_F },
    { kind: 'resistor', id: 'shunt', a: 'b', b: 'ground', resistanceOhm: 0.01 },
    { kind: 'resistor', id: 'load', a: 'a', b: 'ground', resistanceOhm: 10_000 },
  ],
};

async function both() {
  const probes = Object.fromEntries(Object.entries(CHANNELS).map(([name, { probe }]) => [name, probe]));
  const schedule = [
    { atS: START_S, settings: [{ element: 's', state: true }] },
    { atS: RELEASE_S, settings: [{ element: 's', state: false }] },
  ];
  const run = simulate({ netlist, schedule, untilS: UNTIL_S, sampleRateHz: 2 * GRID_HZ, probes });
  const times = {
    s: [
      [START_S, true],
      [RELEASE_S, false],
    ],
  } as const;
  const result = await runSpice(
    spiceDeck('suppressed motor', netlist, times, {
      untilS: UNTIL_S,
      maximumStepS: 1e-7,
      relativeTolerance: 1e-6,
      save: Object.values(CHANNELS).map(({ spice }) => spice),
    }),
  );
  // Half a sample off the instants at which the contact moves.
  const odd = (values: Float64Array) => values.filter((_, k) => k % 2 === 1);
  const timeS = odd(run.timeS);
  return Object.entries(CHANNELS).map(([name, { spice }]) => {
    return { name, ours: odd(run.values[name]!), theirs: onGrid(result, spice, timeS), timeS };
  });
}

describe('suppression capacitor', () => {
  it('spikes and rings as in SPICE: RMS below 0.1 % of peak, spike, its decay and the ring below 0.2 %', async () => {
    const columns = await both();
    for (const { name, ours, theirs } of columns)
      expect(rmsDifference(ours, theirs) / peakOf(theirs), name).toBeLessThan(0.001);
    const { ours, theirs, timeS } = columns.find(({ name }) => name === 'motorCurrentA')!;
    const startsAt = timeS.findIndex((t) => t > START_S);
    // Closed form: V / R at once, falling with R C.
    const ohm = SOURCE_OHM + 0.011;
    const closed = (t: number) => (13 / ohm) * Math.exp(-(t - START_S) / (ohm * CAPACITANCE_F));
    expect(Math.abs(ours[startsAt]! / closed(timeS[startsAt]!) - 1)).toBeLessThan(0.002);
    for (const later of [2, 4, 8]) {
      const k = startsAt + later;
      expect(Math.abs(ours[k]! - theirs[k]!) / theirs[startsAt]!, `${later} samples on`).toBeLessThan(0.002);
    }
    const lead = columns.find(({ name }) => name === 'leadAVoltageV')!;
    const releasedAt = timeS.findIndex((t) => t > RELEASE_S);
    const lowest = (values: Float64Array) => {
      const least = Math.min(...values.subarray(releasedAt));
      return { least, atS: timeS[values.indexOf(least, releasedAt)]! - RELEASE_S };
    };
    const mine = lowest(lead.ours);
    const spice = lowest(lead.theirs);
    // The armature's current goes on through the capacitor and turns the lead over.
    expect(spice.least).toBeLessThan(-20);
    expect(Math.abs(mine.least / spice.least - 1)).toBeLessThan(0.002);
    expect(Math.abs(mine.atS / spice.atS - 1)).toBeLessThan(0.01);
  });

  it('takes the charge C V and then leaves the current to the armature', () => {
    const bare = simulate({
      netlist,
      schedule: [{ atS: 0, settings: [{ element: 's', state: true }] }],
      untilS: 2e-3,
      sampleRateHz: 5 * GRID_HZ,
      probes: {
        whole: { kind: 'current', element: 'm' },
        share: { kind: 'current', element: 'm.suppression' },
        v: { kind: 'voltage', plus: 'a', minus: 'b' },
      },
    });
    const { whole, share, v } = bare.values;
    let charge = 0;
    for (let k = 2; k < share!.length; k++) charge += (share![k - 1]! + share![k]!) / 2 / (5 * GRID_HZ);
    const charged = CAPACITANCE_F * (v!.at(-1)! - v![1]!);
    expect(Math.abs(charge / charged - 1)).toBeLessThan(0.001);
    // Charged, it carries next to nothing, and the motor's current is the armature's.
    expect(Math.abs(share!.at(-1)! / whole!.at(-1)!)).toBeLessThan(0.001);
  });
});
