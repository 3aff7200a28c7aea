// A motor of another kind on the two leads: three wires with two fields, or sensor pins beside the power pins. The rig
// cannot look at a plug; it sees where current can flow and where not.

import type { StyleElement } from '../profile/index.js';
import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, type FaultEdit, land, series } from './fault-edits.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Where both fields meet the armature, inside the motor. */
const ARMATURE = 'split-field-armature';
/** Of one field winding: less than a small armature has, for it lies in series with it. Common practice, no source. */
const FIELD_OHM = 0.4;
const THIN_FIELD_OHM = 1;
/** A Hall sensor and its series resistor: some 10 mA at 13 V. Common practice, no source. */
const SENSOR_OHM = 1200;
/** Such motors are seldom taken for one with two wires. Common practice, no source. */
const SELDOM = 0.3;

export function otherMotorFaults(motor: Motor): Fault[] {
  const { id, a, b } = motor;
  const own = (what: string, kind: FaultKind, stated: StatedFault): Fault =>
    faultOf([motor], what, kind, { commonness: SELDOM, ...stated });
  /**
   * The armature of a permanent-magnet motor between both fields and the case: right for where current can flow and for
   * the sign of what the motor makes itself, which a field that reverses together with the rotation leaves alike.
   */
  const fields = (ohm: number): FaultEdit[] => [
    land(id, 'a', ARMATURE),
    bridge(a, ARMATURE, ohm),
    bridge(b, ARMATURE, ohm),
  ];
  const onCase = land(id, 'b', 'rig.ground');
  return [
    own('split-field', 'wrong-part', {
      cause: 'the motor has two fields and three wires, and returns through its case',
      nextProbe:
        'Count its wires and measure each lead to its case: low from both is a split-field motor, which this circuit cannot reverse.',
      does: 'measure-resistance',
      at: [a, 'rig.ground'],
      edits: [onCase, ...fields(FIELD_OHM)],
      // With the case off its ground nothing flows but what the joint of both fields passes on.
      further: [
        [onCase, ...fields(THIN_FIELD_OHM)],
        [series(id, 'b'), ...fields(FIELD_OHM)],
      ],
    }),
    own('sensor-pins', 'misplaced', {
      cause: 'the leads sit on sensor pins of the motor plug, not on its power pins',
      nextProbe:
        'Look at the plug: the two thick pins are power. Measure them lead to lead before feeding; never feed the thin ones.',
      does: 'look',
      at: [a, b],
      edits: [series(id, 'b'), bridge(a, b, SENSOR_OHM)],
    }),
  ];
}
