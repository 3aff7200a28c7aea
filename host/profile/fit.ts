// Do the parts of a unit profile fit each other? What one file alone cannot show: the plan against what rig and
// motor bear, the relay against the style, the rig against its own scales.

import { BOARD } from '../../firmware-protocol/index.js';
import { CHANNEL } from '../capture/index.js';
import { fixed, listed, shortly } from '../tell/index.js';
import type { CircuitStyle } from './circuit-style.js';
import type { LoadProfile, MotorProfile, Plan, RigProfile, UnitProfile } from './schema.js';
import { hasLimits } from './travel.js';
import type { YamlFile } from './yaml-file.js';

const LEAST_LOAD_A = 1;
/** Wirewound power resistors bear five times their rating for five seconds (common data sheet figure). */
const OVERLOAD = 5;

/** @throws InputError when the style has relays and no relay is named, or the other way round. */
export function checkUnit(file: YamlFile, unit: UnitProfile, style: CircuitStyle): void {
  if (unit.travelS !== undefined && !hasLimits(style)) {
    throw file.fault(
      ['travelS'],
      `${style.id} has no limit switches`,
      'remove this line, or choose a circuit with limit switches',
    );
  }
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

/** @throws InputError for a colour or an end of a wire that the circuit has not. */
export function checkWires(
  file: YamlFile,
  { wires = {} }: UnitProfile,
  { id, elements }: CircuitStyle,
): void {
  const known = elements.flatMap((element) => (element.kind === 'wire' ? [element.id] : []));
  for (const name of Object.keys(wires)) {
    if (!known.includes(name))
      throw file.fault(['wires', name], `${id} has no wire ${name}`, `use one of ${known.join(', ')}`);
  }
}

/** A style without harness settles what is judged. @throws InputError when the unit wants something else judged. */
export function subjectSettled(file: YamlFile, unit: UnitProfile, style: CircuitStyle): UnitProfile {
  if (style.subject === undefined || unit.subject === style.subject) return unit;
  if (unit.subject === 'harness-with-motor') return { ...unit, subject: style.subject };
  throw file.fault(
    ['subject'],
    `${style.id} has no ${unit.subject} to judge`,
    `write subject: ${style.subject}, or choose a circuit with a harness`,
  );
}

/** @throws InputError when what hangs on the leads does not fit what is being judged. */
export function checkSubject(file: YamlFile, { subject, motor, load }: UnitProfile): void {
  if (motor !== undefined && load !== undefined) {
    throw file.fault(
      ['load'],
      'a motor and a load are both named',
      'keep the one that hangs on the leads, remove the other',
    );
  }
  if (subject === 'relay') {
    const key = motor !== undefined ? 'motor' : load !== undefined ? 'load' : undefined;
    if (key === undefined) return;
    throw file.fault([key], `a relay by itself has no ${key} on the bench`, 'remove this line');
  }
  if (motor === undefined && load === undefined) {
    throw file.fault(
      ['motor'],
      'neither a motor nor a load is named',
      'add a line such as motor: window-lift, or load: dummy-2-ohm',
    );
  }
  if (load !== undefined && subject !== 'harness') {
    throw file.fault(
      ['load'],
      `with a load in place of the motor no ${subject} can be judged`,
      'write subject: harness, or name a motor in place of the load',
    );
  }
}

/** @throws InputError for a load that would trip the rig, burn, or be too light to show a bad joint. */
export function checkLoad(file: YamlFile, load: LoadProfile, rig: RigProfile): void {
  const { resistanceOhm } = load;
  const nominalOhm = typeof resistanceOhm === 'number' ? resistanceOhm : resistanceOhm.nominal;
  const leastOhm =
    typeof resistanceOhm === 'number' ? nominalOhm : nominalOhm * (1 - resistanceOhm.tolerancePercent / 100);
  const supplyV = typeof rig.supply.voltageV === 'number' ? rig.supply.voltageV : rig.supply.voltageV.nominal;
  const currentA = supplyV / leastOhm;
  const tripA = Math.min(rig.trip.motorCurrentA, rig.trip.feedCurrentA);
  if (currentA >= tripA) {
    throw file.fault(
      ['resistanceOhm'],
      `${shortly(nominalOhm, 'Ohm')} draws ${shortly(currentA, 'A')} from ${shortly(supplyV, 'V')}, and the rig trips at ${tripA} A`,
      `use a load of more than ${shortly(supplyV / tripA, 'Ohm')}`,
    );
  }
  const powerW = supplyV ** 2 / nominalOhm;
  if (powerW > OVERLOAD * load.ratedPowerW) {
    throw file.fault(
      ['ratedPowerW'],
      `${shortly(nominalOhm, 'Ohm')} takes ${shortly(powerW, 'W')} from ${shortly(supplyV, 'V')}, more than ${OVERLOAD} times its rating`,
      `use a load rated for ${shortly(powerW / OVERLOAD, 'W')} or more`,
    );
  }
  // Contacts show nothing under less; drops are judged at 1 A or more (common practice, no source).
  if (supplyV / nominalOhm < LEAST_LOAD_A) {
    throw file.fault(
      ['resistanceOhm'],
      `${shortly(nominalOhm, 'Ohm')} draws only ${shortly(supplyV / nominalOhm, 'A')}, too little to show a bad joint`,
      `use a load of ${shortly(supplyV / LEAST_LOAD_A, 'Ohm')} or less`,
    );
  }
}

/** What a sum of decimal fractions is off by at the most. */
const ROUNDING_S = 1e-9;

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
      if (before && before.position !== position && timeS - before.endS < rig.deadTimeS - ROUNDING_S) {
        const what = `${position} follows ${before.position} after ${shortly(timeS - before.endS, 's')}`;
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

/**
 * The full feed comes on behind a limited rest and a limited throw each way that is thrown with it, in every plan: what is
 * driven already and what is shorted is met with 1 A. A relay by itself has its own small current for the coil; its contacts are met at rest.
 * @throws InputError for a plan whose full feed comes sooner.
 */
export function checkLimitedFirst(file: YamlFile, { steps }: Plan, subject: UnitProfile['subject']): void {
  const fullAt = steps.findIndex(({ feed }) => feed === 'full');
  if (fullAt < 0) return;
  const met = steps.slice(0, fullAt).filter(({ feed }) => feed === 'limited');
  const thrown = (['forward', 'reverse'] as const).filter((position) =>
    steps.some((step) => step.feed === 'full' && step.position === position),
  );
  const asked = subject === 'relay' ? (['rest'] as const) : (['rest', ...thrown] as const);
  const missing = asked.filter((position) => !met.some((step) => step.position === position));
  if (missing.length === 0) return;
  throw file.fault(
    ['steps', fullAt, 'feed'],
    `the full feed comes on before the limited feed has met ${listed(missing)}`,
    'put a step with feed: limited before it for each, as in throw-both-ways',
  );
}

/** @throws InputError for a trip off the rig's scale, or one that its amplifiers can never show: the current would flow on. */
export function checkRig(file: YamlFile, { scales, trip, adcBits }: RigProfile): void {
  const top = 2 ** adcBits - 1;
  for (const channel of ['motorCurrentA', 'feedCurrentA'] as const) {
    const { atZeroCount, perCount } = scales[channel];
    // What goes both ways is seen as far as the nearer end of its scale.
    const scaleEnds = [atZeroCount + perCount * top, ...(CHANNEL[channel].isSigned ? [-atZeroCount] : [])];
    const scaleEndA = Math.min(...scaleEnds);
    if (trip[channel] >= scaleEndA) {
      throw file.fault(
        ['trip', channel],
        `${trip[channel]} A is off the scale`,
        `write less than ${shortly(scaleEndA)}`,
      );
    }
  }
  const { motorCurrentA: motor, feedCurrentA: feed } = scales;
  const ends = [
    ['motorCurrentA', Math.abs(motor.perCount) * BOARD.tripMotorMaxCounts],
    ['feedCurrentA', feed.atZeroCount + feed.perCount * BOARD.tripFeedMaxCounts],
  ] as const;
  for (const [channel, endA] of ends) {
    if (trip[channel] <= endA) continue;
    throw file.fault(
      ['trip', channel],
      `${trip[channel]} A is more than the rig's amplifier can show`,
      `write ${fixed(Math.floor(endA * 10) / 10, 1)} or less`,
    );
  }
}
