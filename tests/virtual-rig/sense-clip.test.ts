// A sense clip that was moved reads the place where it bites, through its own divider, and no longer its lead.

import { describe, expect, it } from 'vitest';
import { SCAN_LETTERS } from '../../firmware-protocol/index.js';
import { letterOf } from '../../host/capture/index.js';
import { CLIP_CHANNELS, type UnitCircuit, withClipAt } from '../../host/circuit/index.js';
import { caseSchema, loadUnit, plainValues } from '../../host/profile/index.js';
import { chance, SimulatedBench } from '../../host/virtual-rig/index.js';

const UNIT = loadUnit('entry-step-relays');
const GOOD = caseSchema.parse({
  id: 'good',
  title: 'Good',
  kind: 'case',
  seed: 7,
  supply: { voltageV: 12.6 },
});
const CHANNEL = CLIP_CHANNELS.b;

/** Lead B's channel with nothing thrown and the feed on. */
function readAtRest(wired?: (circuit: UnitCircuit) => UnitCircuit): number {
  const bench = new SimulatedBench(UNIT, GOOD, chance(GOOD.seed), wired);
  bench.outputsChanged(0.01, {
    feedLimited: false,
    feedFull: true,
    throwForward: false,
    throwReverse: false,
    coilFull: false,
  });
  const { atZeroCount, perCount } = UNIT.rig.scales[CHANNEL];
  return atZeroCount + perCount * bench.adcCounts(SCAN_LETTERS[letterOf(CHANNEL)].adc, 0.2);
}

describe('the sense clip of lead B', () => {
  it('on its lead reads ground at rest', () => expect(readAtRest()).toBeCloseTo(0, 0));

  it('on 85 of K2 reads the supply through the coil, less what its own divider takes', () => {
    const { leadLoadOhm } = plainValues(UNIT.rig);
    const relay = UNIT.relay && plainValues(UNIT.relay);
    if (relay === undefined) throw new Error('no relay');
    // Voltage divider: 12.6 V over the coil and the divider's own resistance, within the rig's gain and the coil's tolerance.
    const wantedV = (12.6 * leadLoadOhm) / (leadLoadOhm + relay.coilResistanceOhm);
    expect(Math.abs(readAtRest((circuit) => withClipAt(circuit, 'b', 'k2-85')) - wantedV)).toBeLessThan(0.2);
  });

  it('is refused where the circuit has none', () => {
    const { circuit } = new SimulatedBench(UNIT, GOOD, chance(GOOD.seed));
    const without = { ...circuit, netlist: { elements: [] } };
    expect(() => withClipAt(without, 'b', 'k2-85')).toThrow(RangeError);
  });
});
