// The motor's own parameters as commands tell them: fitted where a motor turned and both leads and its current were
// sampled.

import type { Capture } from '../capture/index.js';
import { fitMotor, type MeasureOptions, type Told } from '../measure/index.js';
import { type ResolvedUnit, ripplesOf } from '../profile/index.js';
import { type QuantityNumbers, quantitiesJson } from '../tell/index.js';

/** Notes say why there are none. Nothing is fitted where the profile says that no motor turns. */
export function motorModelOf(
  capture: Capture,
  { rig, instrument, ripplesPerTurn }: MeasureOptions,
  unit?: Pick<ResolvedUnit, 'unit' | 'load'>,
): { model: Told; notes: string[] } {
  const { motorCurrentA, feedCurrentA, leadAVoltageV, leadBVoltageV } = capture.channels;
  // In every style of a known unit the feed gives the motor what it takes, and coils are fed ahead of it.
  const feedIsMotorCurrent = unit !== undefined && feedCurrentA !== undefined;
  if (!(motorCurrentA || feedIsMotorCurrent) || !leadAVoltageV || !leadBVoltageV)
    return { model: {}, notes: [] };
  if (unit?.load !== undefined || unit?.unit.subject === 'relay') return { model: {}, notes: [] };
  return fitMotor(capture, {
    ...(rig ? { rig } : {}),
    ...(instrument ? { instrument } : {}),
    feedIsMotorCurrent,
    ...(ripplesPerTurn === undefined ? {} : { motor: { ripplesPerTurn } }),
  });
}

/** The `model` of `judge --json`, of the shape that `measure --json` gives. */
export function motorModelJson(
  capture: Capture,
  unit: ResolvedUnit,
  told: MeasureOptions = {},
): Record<string, QuantityNumbers> {
  const options: MeasureOptions = { rig: unit.rig, ...ripplesOf(unit.motor), ...told };
  return quantitiesJson(motorModelOf(capture, options, unit).model);
}
