// The solver against a general SPICE engine (eecircuit-engine, ngspice as WebAssembly), run here on the same circuit.
// Agreement asked: RMS below 0.1 % of the channel's peak, features below 0.2 %.

import { describe, expect, it } from 'vitest';
import { CASES } from '../references/circuit-spice/cases.js';
import { compare, extremes } from '../references/circuit-spice/compare.js';

describe('the solver agrees with SPICE', () => {
  it.for(CASES.map((c) => [c.title, c] as const))('%s', async ([, c]) => {
    const result = await compare(c);
    const { timeS, ours, spice, peak } = result;
    for (const [channel, rms] of Object.entries(result.rmsOfPeak)) {
      if (channel === 'speedRadS' && c.held) {
        // The deck holds the rotor through a mechanical resistance; here it stands exactly.
        expect(ours[channel]!.every((speed) => speed === 0)).toBe(true);
        continue;
      }
      expect(rms, `${channel}: RMS over peak ${peak[channel]}`).toBeLessThan(0.001);
    }
    // Inrush peak and its time, brake or reversal peak, running current at the end of the first throw.
    const mine = extremes(timeS, ours.motorCurrentA!, 0, c.untilS);
    const theirs = extremes(timeS, spice.motorCurrentA!, 0, c.untilS);
    const peakA = peak.motorCurrentA!;
    expect(
      Math.abs(mine.highest.value - theirs.highest.value) / theirs.highest.value,
      'inrush peak',
    ).toBeLessThan(0.002);
    // A held rotor's current climbs to its peak for ever; there the time of its 90 % point is what can be compared.
    const rise = (values: Float64Array) => timeS[values.findIndex((i) => i > 0.9 * theirs.highest.value)]!;
    const apartS = c.held
      ? rise(ours.motorCurrentA!) - rise(spice.motorCurrentA!)
      : mine.highest.timeS - theirs.highest.timeS;
    expect(Math.abs(apartS), 'time of inrush peak, s').toBeLessThan(0.002 * c.untilS * 0.25);
    expect(Math.abs(mine.lowest.value - theirs.lowest.value) / peakA, 'brake or reversal peak').toBeLessThan(
      0.002,
    );
    const offS = c.schedule[1]?.atS ?? c.untilS;
    const k = timeS.findIndex((t) => t > Math.min(offS, c.untilS) - 0.001);
    const running = [ours.motorCurrentA![k]!, spice.motorCurrentA![k]!];
    expect(Math.abs(running[0]! / running[1]! - 1), 'running current').toBeLessThan(0.002);
  });
});
