// A unit that fails on a rig that was never calibrated, where one factor on both currents would make it a good one: the rig's
// scales may be off as well, and nobody can tell which. Currents against voltages are all that a model sees, so it names both.

import { type Capture, type Channel, mapChannels } from '../capture/index.js';
import { isFullThrow, type Measured, type QuantityName, readingOf } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { amount } from '../tell/index.js';
import { checkOf, isFailed, untested } from './check.js';
import type { UnitExpectation } from './expectation.js';
import { limitsOf } from './feature-band.js';
import type { Check, CheckKind } from './verdict.js';

const NEVER_CALIBRATED: CheckKind = { id: 'never-calibrated', of: 'rig', rank: -15, isAlwaysTold: true };

/** A shunt or a resistor of the wrong row makes as much; more is no scale. Choice of this program, no source. */
const MOST = 1.5;
/** Less is within what parts of 1 % make. Choice of this program, no source. */
const LEAST = 1.02;
/** How far the single readings of a good motor may stand apart in it. Choice of this program, no source. */
const APART = 1.2;
const LEAST_READINGS = 4;

const CURRENT_SCALES: readonly Channel[] = ['motorCurrentA', 'feedCurrentA'];
const VOLTAGE_SCALES: readonly Channel[] = ['leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'];
const CURRENTS: readonly QuantityName[] = ['inrushPeakA', 'runningCurrentA'];

/** By which both currents read more than a usual unit's, at the start as in the run; undefined where they do not, or the rig was calibrated. */
export function suspectedFactor(
  { rig: { neverCalibrated } }: Pick<ResolvedUnit, 'rig'>,
  { features }: UnitExpectation,
  measured: Measured,
): number | undefined {
  if (neverCalibrated !== true) return undefined;
  const ratios = Object.values(features).flatMap((band) => {
    if (!CURRENTS.includes(band.what) || band.of === undefined || !isFullThrow(band.of)) return [];
    const value = readingOf(measured, band.what, band.of)?.value;
    const { nominal } = limitsOf(band, measured);
    return value === undefined || !(value / nominal > 0) ? [] : [value / nominal];
  });
  if (ratios.length < LEAST_READINGS) return undefined;
  const [lowest, highest] = [Math.min(...ratios), Math.max(...ratios)];
  const factor = Math.exp(ratios.reduce((sum, ratio) => sum + Math.log(ratio), 0) / ratios.length);
  const isOneWay = lowest > LEAST || highest < 1 / LEAST;
  return isOneWay && highest / lowest < APART && factor < MOST && factor > 1 / MOST ? factor : undefined;
}

/** The capture as it would be were the scales of both currents, or of all voltages, off by `factor`. */
export const rescaled = (capture: Capture, factor: number): Capture[] => [
  by(capture, 1 / factor, CURRENT_SCALES),
  by(capture, factor, VOLTAGE_SCALES),
];

const by = (capture: Capture, times: number, of: readonly Channel[]): Capture => ({
  ...capture,
  channels: mapChannels(capture.channels, (values, channel) =>
    of.includes(channel) ? values.map((value) => times * value) : values,
  ),
});

/** `checks` with the rig's scales in front, and failures taken back. */
export function forScales(checks: readonly Check[], factor: number): Check[] {
  const percent = amount(100 * Math.abs(factor - 1), '%', 0);
  const sentence = `Both currents read ${percent} ${factor > 1 ? 'more' : 'less'} than this motor usually takes at these voltages, at the start as in the run. This rig was never calibrated: its scales may be off by that. Calibrate it (throwbench calibrate) and repeat.`;
  return [
    checkOf(NEVER_CALIBRATED, { outcome: 'not-tested', sentence }),
    ...checks.map((check) => (isFailed(check) ? untested(check) : check)),
  ];
}
