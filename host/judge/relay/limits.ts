// Limits of a relay by itself: the profile's own where it has any, else published ones of 12 V plug-in relays, else what
// workshops go by. Coil resistance and pull-in go with the temperature of the copper, operate time with the supply.

import { COIL_REFERENCE_C, copperFactor, TRIGGER_AVALANCHE_V } from '../../circuit/index.js';
import { plainValues, type RelayProfile, type ResolvedUnit } from '../../profile/index.js';
import type { Check } from '../verdict.js';

export interface Limit {
  lower?: number;
  upper?: number;
  origin: Check['origin'];
}

export interface RelayLimits {
  coilOhm: Limit;
  operateS: Limit;
  releaseS: Limit;
  bounceS: Limit;
  gapS: Limit;
  dropAt10AV: Limit;
  dropAsNewV: Limit;
  pullInV: Limit;
  dropOutV: Limit;
}

/** Operate at most 10 ms, release at most 7 ms: automotive power relay with change-over contact, dtsheet.com/doc/683074. */
const OPERATE_MOST_S = 0.01;
const RELEASE_MOST_S = 0.007;
/** With a diode a relay lets go three to ten times later (Finder 99 series; forum measurement 8 ms against 2.6 ms). */
const RELEASE_DIODE_MOST_S = 0.02;
/** Pull-in at most 8 V: dtsheet.com/doc/683074. Drop-out at least 1.2 V: dtsheet.com/doc/683071. Both at 20 C, of 12 V. */
const PULL_IN_MOST = 8 / 12;
const DROP_OUT_LEAST = 1.2 / 12;
/** At most 50 mV at 10 A as new: dtsheet.com/doc/683074; a workshop accepts twice that (common practice, no source). */
const DROP_NEW_V = 0.05;
const DROP_USED_V = 0.1;
/** Common practice, no source; catalogues give 1 to 5 ms (from memory). */
const BOUNCE_MOST_S = 0.003;
/** Break before make by more than this (common practice, no source). */
const GAP_LEAST_S = 0.0003;
/** Half width where the profile states none: dtsheet.com/doc/683071, 10 %. */
const COIL_TOLERANCE = 0.1;

/** @param supplyV at the coil while it was on; below the nominal voltage a relay is slower by what the current takes longer. */
export function relayLimits(
  unit: ResolvedUnit,
  relay: RelayProfile,
  supplyV: number | undefined,
): RelayLimits {
  const { limits, nominalVoltageV, suppression, origin } = relay;
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const cold = copperFactor(COIL_REFERENCE_C, nominal - plusMinus);
  const hot = copperFactor(COIL_REFERENCE_C, nominal + plusMinus);
  const own = (value: number | undefined): value is number => value !== undefined;
  const from = (value: number | undefined, other: Check['origin']): Check['origin'] =>
    value === undefined ? other : origin;
  const coil = limits?.coilResistanceOhm ?? terminalRange(relay);
  const slower = supplyV === undefined ? 0 : slowerS(relay, supplyV, hot);
  const withDiode = suppression.kind === 'diode';
  return {
    coilOhm: { lower: coil.least * cold, upper: coil.most * hot, origin },
    operateS: {
      upper: (limits?.operateMostS ?? OPERATE_MOST_S) + slower,
      origin: from(limits?.operateMostS, 'published'),
    },
    releaseS: {
      upper:
        (limits?.releaseMostS ?? (withDiode ? RELEASE_DIODE_MOST_S : RELEASE_MOST_S)) +
        (withDiode ? 0 : clampedS(relay, supplyV ?? nominalVoltageV)),
      origin: from(limits?.releaseMostS, withDiode ? 'generic' : 'published'),
    },
    bounceS: { upper: limits?.bounceMostS ?? BOUNCE_MOST_S, origin: from(limits?.bounceMostS, 'generic') },
    gapS: {
      lower: limits?.transferGapLeastS ?? GAP_LEAST_S,
      origin: from(limits?.transferGapLeastS, 'generic'),
    },
    dropAt10AV: {
      upper: limits?.contactDropAt10AMostV ?? DROP_USED_V,
      origin: from(limits?.contactDropAt10AMostV, 'generic'),
    },
    dropAsNewV: { upper: DROP_NEW_V, origin: 'published' },
    pullInV: {
      upper: (own(limits?.pullInMostV) ? limits.pullInMostV : PULL_IN_MOST * nominalVoltageV) * hot,
      origin: from(limits?.pullInMostV, 'published'),
    },
    dropOutV: {
      lower: (own(limits?.dropOutLeastV) ? limits.dropOutLeastV : DROP_OUT_LEAST * nominalVoltageV) * cold,
      origin: from(limits?.dropOutLeastV, 'published'),
    },
  };
}

/** Between the terminals at 20 C: the winding with its tolerance, and what the profile has across it. */
function terminalRange({ coilResistanceOhm, suppression }: RelayProfile): { least: number; most: number } {
  const [nominal, part] =
    typeof coilResistanceOhm === 'number'
      ? [coilResistanceOhm, COIL_TOLERANCE]
      : [coilResistanceOhm.nominal, coilResistanceOhm.tolerancePercent / 100];
  const across = suppression.kind === 'resistor' ? suppression.resistanceOhm : Number.POSITIVE_INFINITY;
  const beside = (ohm: number): number => 1 / (1 / ohm + 1 / across);
  return { least: beside(nominal * (1 - part)), most: beside(nominal * (1 + part)) };
}

/**
 * Published release times are of a coil that may kick to a thousand volts. The rig's trigger holds it at its own clamp, a
 * resistor across it at less: the current falls that much later from the supply's to the drop-out one (L di/dt = -V - R i).
 */
function clampedS(relay: RelayProfile, supplyV: number): number {
  const { coilResistanceOhm, coilInductanceH, closedInductanceRatio, dropOutVoltageV, suppression } =
    plainValues(relay);
  const onA = supplyV / coilResistanceOhm;
  const across = suppression.kind === 'resistor' ? suppression.resistanceOhm * onA : Number.POSITIVE_INFINITY;
  const clampV = Math.min(TRIGGER_AVALANCHE_V - supplyV, across);
  const tau = (coilInductanceH * closedInductanceRatio) / coilResistanceOhm;
  return Math.max(0, tau * Math.log((supplyV + clampV) / (dropOutVoltageV + clampV)));
}

/** How much longer the current takes to pull-in from `supplyV`, hot, than from the nominal voltage at 20 C. */
function slowerS(relay: RelayProfile, supplyV: number, hot: number): number {
  const { coilResistanceOhm, coilInductanceH, pullInVoltageV, nominalVoltageV } = plainValues(relay);
  const rise = (volts: number, pullIn: number, ohm: number): number =>
    (coilInductanceH / ohm) * -Math.log(1 - Math.min(0.97, pullIn / volts));
  const usual = rise(nominalVoltageV, pullInVoltageV, coilResistanceOhm);
  return Math.max(0, rise(supplyV, pullInVoltageV * hot, coilResistanceOhm * hot) - usual);
}
