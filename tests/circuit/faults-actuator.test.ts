// Faults of limit-switched actuators: contact, diode open, shorted, reversed. Derived from circuit equations with the
// set-up of symptom-bench.ts and a light rotor, which stops within its run-out.

import { describe, expect, it } from 'vitest';
import { buildUnitCircuit, type Probe, simulate } from '../../host/circuit/index.js';
import { readStyle, workedInput } from './symptom-bench.js';
import { withFaults } from './with-faults.js';

const STYLE = readStyle('limit-actuator-relay-pair');
const RATE_HZ = 5000;

/** Forward to the limit and beyond for 1.6 s, rest, then reverse for 0.4 s. */
function stroke(faults: readonly string[]) {
  const healthy = workedInput(STYLE);
  const circuit = buildUnitCircuit({
    ...withFaults(healthy, ...faults),
    motor: { ...healthy.motor, inertiaKgM2: healthy.motor.inertiaKgM2 / 10 },
  });
  const { position, feed } = circuit.controls;
  const angle: Probe = { kind: 'angle', element: circuit.motorId };
  const { values } = simulate({
    netlist: circuit.netlist,
    schedule: [
      { atS: 0, settings: [...feed.full, ...position.rest] },
      { atS: 0.1, settings: position.forward },
      { atS: 1.7, settings: position.rest },
      { atS: 2.0, settings: position.reverse },
    ],
    untilS: 2.4,
    sampleRateHz: RATE_HZ,
    probes: { ...circuit.probes, angle },
  });
  const at = (name: string, timeS: number): number => values[name]![Math.round(timeS * RATE_HZ)]!;
  return {
    heldA: at('motorCurrentA', 1.69),
    leadAV: at('leadAVoltageV', 1.69),
    leadBV: at('leadBVoltageV', 1.69),
    endRad: at('angle', 1.69),
    wentBackRad: at('angle', 1.99) - at('angle', 2.39),
    reverseA: at('motorCurrentA', 2.39),
    reverseLeadBV: at('leadBVoltageV', 2.39),
  };
}

describe('limit-switched actuator', () => {
  it('stops at the forward limit with H/L and no current, and leaves it', () => {
    const { heldA, leadAV, leadBV, endRad, wentBackRad } = stroke([]);
    expect(Math.abs(heldA)).toBeLessThan(0.01);
    expect(leadAV).toBeGreaterThan(12);
    expect(Math.abs(leadBV)).toBeLessThan(0.01);
    expect(endRad).toBeGreaterThan(200);
    expect(endRad).toBeLessThan(280);
    expect(wentBackRad).toBeGreaterThan(20);
  });

  it('limit contact stuck closed: held-rotor current at the end instead of none', () => {
    const { heldA, endRad } = stroke(['limit-forward-stuck-closed']);
    expect(endRad).toBeCloseTo(280, 1);
    // Two closed limit contacts of 5 mOhm on top of the worked loop.
    expect(heldA).toBeCloseTo(13 / (0.85 + 0.01), 0);
  });

  it('diode open: stops as it should, then H/L with no current and will not leave the end', () => {
    const { heldA, wentBackRad, reverseA, reverseLeadBV } = stroke(['limit-forward-diode-open']);
    expect(Math.abs(heldA)).toBeLessThan(0.01);
    expect(Math.abs(wentBackRad)).toBeLessThan(0.1);
    expect(Math.abs(reverseA)).toBeLessThan(0.01);
    expect(reverseLeadBV).toBeGreaterThan(12);
  });

  it('diode shorted: never stops at the limit, leaves it', () => {
    const { heldA, endRad, wentBackRad } = stroke(['limit-forward-diode-shorted']);
    expect(endRad).toBeCloseTo(280, 1);
    expect(heldA).toBeGreaterThan(14);
    expect(wentBackRad).toBeGreaterThan(20);
  });

  it('diode reversed: both at once, it passes the limit through the diode and then will not leave the end', () => {
    // A table that gives `will not leave the end` for reversed and `never stops` for shorted tells half of it.
    const { heldA, endRad, wentBackRad } = stroke(['limit-forward-diode-reversed']);
    expect(endRad).toBeCloseTo(280, 1);
    expect(heldA).toBeCloseTo((13 - 0.8) / (0.85 + 0.005 + 0.02), 0);
    expect(Math.abs(wentBackRad)).toBeLessThan(0.1);
  });
});
