// The rig's side of a unit's circuit: supply, feed with its two paths, shunts, triggers, lead loads and clamps.
// Feed current is measured on the high side ahead of both feed paths; coil feed branches off before that shunt.

import type { CircuitStyle, RigValues } from '../profile/index.js';
import { type CircuitElement, type ControlSetting, GROUND, type Netlist } from './netlist.js';
import type { FeedState, UnitCircuitInput } from './unit-input.js';

/** Coil shunt and the cold resistance of its resettable fuse. Common practice, no source. */
const COIL_SHUNT_OHM = 1;
const COIL_FUSE_OHM = 1.2;
/** Logic-level field-effect transistor with avalanche clamp and body diode. Common practice, no source. */
const TRIGGER_ON_OHM = 0.05;
/** From the supply to a coil that a trigger feeds. */
export const COIL_PATH_OHM = COIL_SHUNT_OHM + COIL_FUSE_OHM + TRIGGER_ON_OHM;
export const TRIGGER_AVALANCHE_V = 60;
const BODY_DIODE_V = 0.7;
/** Slope of a transient suppressor in conduction. Common practice, no source. */
const SUPPRESSOR_SLOPE_OHM = 0.1;
/** Feed relays. Common practice, no source. */
const FEED_CLOSE_DELAY_S = 0.006;
const FEED_OPEN_DELAY_S = 0.003;
const LIMITED_CONTACT_OHM = 0.01;

export const FEED_FULL_CONTACT = 'rig.feed-full';
export const FEED_LIMITED_CONTACT = 'rig.feed-limited';

const COIL_FULL_CONTACT = 'rig.coil-full';
/** Of a circuit whose coil limiter is switched. */
export const COIL_CONTROLS: Record<'limited' | 'full', ControlSetting[]> = {
  limited: [{ element: COIL_FULL_CONTACT, state: false }],
  full: [{ element: COIL_FULL_CONTACT, state: true }],
};

export const FEED_CONTROLS: Record<FeedState, ControlSetting[]> = {
  off: feedControls(false, false),
  limited: feedControls(true, false),
  full: feedControls(false, true),
};

function feedControls(limited: boolean, full: boolean): ControlSetting[] {
  return [
    { element: FEED_LIMITED_CONTACT, state: limited },
    { element: FEED_FULL_CONTACT, state: full },
  ];
}

/** Where the divider of each lead bites on, and its own wire when it does not. */
export const SENSE_NODES = {
  a: { motor: 'rig.motor-a', sense: 'rig.sense-a' },
  b: { motor: 'rig.motor-b', sense: 'rig.sense-b' },
} as const;
export const SUPPLY_SOURCE = 'rig.source';

/** Where a lead is really sensed: at its divider, wherever a fault has put that. */
export function sensedNode({ elements }: Netlist, node: string): string {
  const load = elements.find(({ id }) => id === `${node}-load`);
  return load?.kind === 'resistor' ? load.a : node;
}

/** Node of the netlist for a node of the style: the rig's ground is the reference, lead B passes straight through. */
export function placeNode(node: string): string {
  if (node === 'rig.ground') return GROUND;
  return node === 'rig.lead-b' ? 'rig.motor-b' : node;
}

export function rigElements(input: UnitCircuitInput): CircuitElement[] {
  const { rig, style } = input;
  const { voltageV, sourceResistanceOhm, currentLimitA } = input.supply;
  const source = { id: SUPPLY_SOURCE, plus: 'rig.supply', minus: GROUND, voltageV, sourceResistanceOhm };
  return [
    { kind: 'supply', ...source, currentLimitA },
    ...feed(rig, input.bounceS),
    resistor('rig.coil-shunt', 'rig.supply', 'rig.coil-fused', COIL_SHUNT_OHM),
    ...coilFeed(input),
    ...(style.thrownBy === 'trigger'
      ? [...trigger('forward', style.triggerSide), ...trigger('reverse', style.triggerSide)]
      : []),
    resistor('rig.motor-shunt', 'rig.lead-a', 'rig.motor-a', rig.motorShuntOhm),
    ...lead('rig.motor-a', rig),
    ...lead('rig.motor-b', rig),
  ];
}

/** Straight, or through the limiter with a contact past it. */
function coilFeed({ rig, coilLimiter }: UnitCircuitInput): CircuitElement[] {
  const fuse = (to: string): CircuitElement => resistor('rig.coil-fuse', 'rig.coil-fused', to, COIL_FUSE_OHM);
  if (coilLimiter === undefined) return [fuse('rig.coil-feed')];
  const { limitedCoilFeedOhm } = rig;
  if (limitedCoilFeedOhm === undefined) throw new RangeError(`rig ${rig.id} has no limiter of the coil feed`);
  return [
    fuse('rig.coil-limited'),
    resistor('rig.coil-limiter', 'rig.coil-limited', 'rig.coil-feed', limitedCoilFeedOhm),
    ...(coilLimiter === 'switched'
      ? [contact(COIL_FULL_CONTACT, 'rig.coil-limited', 'rig.coil-feed', TRIGGER_ON_OHM)]
      : []),
  ];
}

function feed(rig: RigValues, bounceS: readonly number[] | undefined): CircuitElement[] {
  const path = { closeDelayS: FEED_CLOSE_DELAY_S, openDelayS: FEED_OPEN_DELAY_S, bounceS };
  return [
    resistor('rig.feed-shunt', 'rig.supply', 'rig.fused', rig.feedShuntOhm),
    { ...contact(FEED_FULL_CONTACT, 'rig.fused', 'rig.feed', rig.feedContactOhm), ...path },
    { ...contact(FEED_LIMITED_CONTACT, 'rig.fused', 'rig.limited', LIMITED_CONTACT_OHM), ...path },
    resistor('rig.feed-limiter', 'rig.limited', 'rig.feed', rig.limitedFeedOhm),
  ];
}

/** A transistor that pulls the trigger wire to ground, or to the coil feed. */
function trigger(which: 'forward' | 'reverse', side: CircuitStyle['triggerSide']): CircuitElement[] {
  const id = `rig.throw-${which}`;
  const wire = `rig.trigger-${which}`;
  const [upper, lower] = side === 'ground' ? [wire, GROUND] : ['rig.coil-feed', wire];
  const clamped = { forwardVoltageV: BODY_DIODE_V, clampVoltageV: TRIGGER_AVALANCHE_V };
  return [
    contact(id, upper, lower, TRIGGER_ON_OHM),
    { ...suppressor(`${id}-clamp`, lower, upper), ...clamped },
  ];
}

/** Load and suppressor of one lead. Equal loads put an open running motor's voltage evenly about ground. */
function lead(node: string, { leadLoadOhm, leadClampV }: RigValues): CircuitElement[] {
  const clamped = { forwardVoltageV: leadClampV, clampVoltageV: leadClampV };
  return [
    resistor(`${node}-load`, node, GROUND, leadLoadOhm),
    { ...suppressor(`${node}-clamp`, node, GROUND), ...clamped },
  ];
}

function resistor(id: string, a: string, b: string, resistanceOhm: number): CircuitElement {
  return { kind: 'resistor', id, a, b, resistanceOhm };
}
/** Open, and without delay. */
const contact = (id: string, a: string, b: string, contactResistanceOhm: number) =>
  ({
    kind: 'contact',
    id,
    a,
    b,
    closed: false,
    contactResistanceOhm,
    closeDelayS: 0,
    openDelayS: 0,
  }) as const;
const suppressor = (id: string, anode: string, cathode: string) =>
  ({ kind: 'clamp', id, anode, cathode, onResistanceOhm: SUPPRESSOR_SLOPE_OHM }) as const;
