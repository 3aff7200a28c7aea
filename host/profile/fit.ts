// Do the parts of a unit profile fit each other? What one file alone cannot show: the plan against what rig and
// motor bear, the relay against the style, the rig against its own scales.

import type { CircuitStyle } from './circuit-style.js';
import type { MotorProfile, Plan, RigProfile, UnitProfile } from './schema.js';
import type { YamlFile } from './yaml-file.js';

/** @throws InputError when the style has relays and no relay is named, or the other way round. */
export function checkUnit(file: YamlFile, unit: UnitProfile, style: CircuitStyle): void {
  const hasRelays = style.elements.some(({ kind }) => kind === 'relay');
  if (hasRelays && unit.relay === undefined) {
    throw file.fault(
      ['circuit'],
      `${style.id} has relays, but no relay is named`,
      'add a line such as relay: mini-changeover',
    );
  }
  if (!hasRelays && unit.relay !== undefined) {
    throw file.fault(
      ['relay'],
      `${style.id} has no relay`,
      'remove this line, or choose a circuit with relays',
    );
  }
}

/** @throws InputError for a throw held too long, or one that follows the opposite throw without the dead time. */
export function checkPlan(file: YamlFile, plan: Plan, rig: RigProfile, motor: MotorProfile): void {
  let before: { position: string; endS: number } | undefined;
  let timeS = 0;
  for (const [index, { position, durationS }] of plan.steps.entries()) {
    if (position !== 'rest') {
      const [holderId, longestHoldS] =
        rig.longestHoldS < motor.longestHoldS ? [rig.id, rig.longestHoldS] : [motor.id, motor.longestHoldS];
      if (durationS > longestHoldS) {
        const mend = `write ${longestHoldS} or less: ${holderId} bears no longer hold`;
        throw file.fault(['steps', index, 'durationS'], `${durationS} s is too long a throw`, mend);
      }
      if (before && before.position !== position && timeS - before.endS < rig.deadTimeS) {
        const what = `${position} follows ${before.position} after ${round(timeS - before.endS)} s`;
        throw file.fault(
          ['steps', index, 'position'],
          what,
          `put at least ${rig.deadTimeS} s of rest between them`,
        );
      }
      before = { position, endS: timeS + durationS };
    }
    timeS += durationS;
  }
}

/** @throws InputError for a trip that the rig's own scale can never read. */
export function checkRig(file: YamlFile, rig: RigProfile): void {
  const top = 2 ** rig.adcBits - 1;
  for (const channel of ['motorCurrentA', 'feedCurrentA'] as const) {
    const { atZeroCount, perCount } = rig.scales[channel];
    const endA = Math.abs(atZeroCount + perCount * top);
    if (rig.trip[channel] >= endA) {
      throw file.fault(
        ['trip', channel],
        `${rig.trip[channel]} A is off the scale`,
        `write less than ${round(endA)}`,
      );
    }
  }
}

const round = (value: number): number => Number(value.toPrecision(3));
