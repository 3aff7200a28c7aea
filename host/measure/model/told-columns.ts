// Columns beside the channels that a motor fit takes: the shaft's speed, and the duty that a chopper drives it with.

import { sampleAt } from '../../arrays/index.js';
import { acrossLeads, type Capture } from '../../capture/index.js';

/** What each column holds, in SI. A turn a minute is 2 pi / 60 rad/s. */
const SPEED_COLUMNS: Readonly<Record<string, number>> = {
  speed_rad_s: 1,
  speed_rpm: (2 * Math.PI) / 60,
};
const DUTY_COLUMNS: Readonly<Record<string, number>> = { pwm_duty: 1, pwm_duty_percent: 0.01 };

/** An empty cell, or one that holds no number, was not read: NaN. */
function columnOf(capture: Capture, known: Readonly<Record<string, number>>): Float64Array | undefined {
  for (const [name, factor] of Object.entries(known)) {
    const cells = capture.extraColumns?.[name];
    if (cells)
      return Float64Array.from(cells, (text) => (text.trim() === '' ? Number.NaN : factor * Number(text)));
  }
  return undefined;
}

/** Speed of the shaft at each sample, rad/s, from a column `speed_rad_s` or `speed_rpm`. */
export const speedColumn = (capture: Capture): Float64Array | undefined => columnOf(capture, SPEED_COLUMNS);

/**
 * A chopped motor's mean terminal voltage in place of its leads: duty times supply, from a column `pwm_duty` (0 to 1)
 * or `pwm_duty_percent`, negative or thrown in reverse with lead B high. Switches and wires then count as the motor's
 * resistance, and the current must flow on through a diode between the pulses. Undefined where the leads were sampled,
 * or supply or duty were not.
 */
export function choppedLeads(capture: Capture): Capture | undefined {
  const { supplyVoltageV, leadAVoltageV, leadBVoltageV } = capture.channels;
  if (leadAVoltageV || leadBVoltageV || !supplyVoltageV) return undefined;
  const duty = columnOf(capture, DUTY_COLUMNS);
  if (!duty) return undefined;
  const volts = supplyVoltageV.map((supplyV, i) => {
    const turned = capture.positionKnown !== false && capture.position[i] === 'reverse' ? -1 : 1;
    const part = sampleAt(duty, i);
    return (part < 0 ? part : turned * part) * supplyV;
  });
  return {
    ...capture,
    channels: { ...capture.channels, ...acrossLeads(volts) },
  };
}

export const CHOPPED =
  'The motor voltage was taken as duty times supply: switches and wires count as its resistance.';
