// The motor's own parameters as commands tell them: fitted where a motor turned and both leads and its current were
// sampled.

import type { Capture } from '../capture/index.js';
import { choppedLeads, fitMotor, type MeasureOptions, type MotorFit, type Told } from '../measure/index.js';
import { type ResolvedUnit, ripplesOf } from '../profile/index.js';
import { type QuantityNumbers, quantitiesJson } from '../tell/index.js';

const NOT_SAMPLED =
  'No motor parameters: they need the motor current and the voltage of both leads or across the motor, or the supply with a duty.';

export interface MotorModel {
  model: Told;
  notes: string[];
  /** What the fit leaves over of the current, beyond noise, and as chi-squared; absent where nothing was fitted. */
  fit?: { describes: MotorFit['describes']; leftOverPercent: number; reducedChiSquared: number };
}

/** Notes say why there are none. Nothing is fitted where the profile says that no motor turns. */
export function motorModelOf(
  capture: Capture,
  { rig, instrument, ripplesPerTurn }: MeasureOptions,
  unit?: Pick<ResolvedUnit, 'unit' | 'load'>,
): MotorModel {
  if (unit?.load !== undefined || unit?.unit.subject === 'relay') return { model: {}, notes: [] };
  const { motorCurrentA, feedCurrentA } = capture.channels;
  // In every style of a known unit the feed gives the motor what it takes, and coils are fed ahead of it.
  const feedIsMotorCurrent = unit !== undefined && feedCurrentA !== undefined;
  if (!(motorCurrentA || feedIsMotorCurrent) || !hasVoltage(capture))
    return { model: {}, notes: [NOT_SAMPLED] };
  const { model, notes, describes, residuals } = fitMotor(capture, {
    ...(rig ? { rig } : {}),
    ...(instrument ? { instrument } : {}),
    feedIsMotorCurrent,
    ...(ripplesPerTurn === undefined ? {} : { motor: { ripplesPerTurn } }),
  });
  if (!residuals) return { model, notes };
  const leftOverPercent = 100 * residuals.structure;
  return {
    model,
    notes,
    fit: { describes, leftOverPercent, reducedChiSquared: residuals.reducedChiSquared },
  };
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

const hasVoltage = (capture: Capture): boolean =>
  (capture.channels.leadAVoltageV !== undefined && capture.channels.leadBVoltageV !== undefined) ||
  choppedLeads(capture) !== undefined;
