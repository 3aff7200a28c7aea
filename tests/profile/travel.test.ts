// How far a drive with limit switches goes, from the time that a person takes by a watch.

import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BOARD } from '../../firmware-protocol/index.js';
import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { measure, readingOf, runStretch } from '../../host/measure/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-travel-'));

function unitOf(lines: string): ResolvedUnit {
  const path = join(folder, `u${Math.abs(lines.length)}-${lines.replace(/\W+/g, '')}.yaml`);
  writeFileSync(path, `id: u\ntitle: Drive\nkind: unit\nmotor: entry-step\n${lines}\n`);
  return loadUnit(path);
}

const ACTUATOR = 'circuit: limit-actuator-relay-pair\nrelay: mini-changeover\n';

describe('travelS', () => {
  it.each([0.5, 1, 2.5])('of %f s is the time from end to end on a charged battery', (travelS) => {
    const unit = unitOf(`${ACTUATOR}travelS: ${travelS}`);
    const input = nominalInput(unit);
    const run = simulatePlan({ ...input, supply: { ...input.supply, voltageV: 12.6 } }, unit.plan);
    const { measured } = measure(run, { nominalVoltageV: 12, ripple: false, isIdeal: true });
    const seenS = readingOf(measured, 'stopsAfterS', runStretch('full', 'reverse', { nth: 1 }))?.value;
    // Leads and joints are allowed for by common practice, not reckoned.
    expect(seenS).toBeGreaterThan(0.9 * travelS - 0.05);
    expect(seenS).toBeLessThan(1.12 * travelS + 0.1);
  });

  it('makes throws long enough, as long as the board holds any, and says that motor and rig bear them', () => {
    const longest = ({ plan }: ResolvedUnit): number =>
      Math.max(...plan.steps.filter(({ position }) => position !== 'rest').map(({ durationS }) => durationS));
    for (const travelS of [3, 20, 60]) {
      const unit = unitOf(`${ACTUATOR}travelS: ${travelS}`);
      expect(longest(unit)).toBe(Math.min(1.25 * travelS + 0.4, BOARD.holdCeilingMs / 1000 - 0.3));
      expect(unit.rig.longestHoldS).toBeGreaterThanOrEqual(longest(unit) + 0.3);
      expect(unit.motor.longestHoldS).toBeGreaterThanOrEqual(longest(unit) + 0.3);
    }
  });

  it('leaves limited throws and rests as they are', () => {
    const [plain, timed] = [unitOf(ACTUATOR), unitOf(`${ACTUATOR}travelS: 3`)];
    const others = ({ plan }: ResolvedUnit) =>
      plan.steps.filter(({ position, feed }) => position === 'rest' || feed !== 'full');
    expect(others(timed)).toEqual(others(plain));
  });

  it('is refused where nothing has limits, with file, line and mend', () => {
    expect(() => unitOf('circuit: switch-carried-grounded-rest\ntravelS: 3')).toThrow(
      /:6: travelS: switch-carried-grounded-rest has no limit switches; remove this line, or choose a circuit with limit switches$/,
    );
  });

  it('of nonsense is refused with its range', () => {
    expect(() => unitOf(`${ACTUATOR}travelS: 900`)).toThrow(/travelS: .*0\.3 to 60 s/);
  });
});
