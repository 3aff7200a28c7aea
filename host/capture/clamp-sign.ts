// The sign of a motor's current beside the voltage that drives it: a clamp that lies the other way round, or leads told the
// other way round, and a clamp that reads without a sign. While it is driven a motor takes current, it gives none.

import { sampleAt } from '../arrays/index.js';
import type { Capture } from './capture.js';

/** A current flows above this part of its most, and a motor is driven above so much. Choices of this program, no source. */
const FLOWS_PART = 0.15;
const DRIVEN_V = 2;
/** So many samples tell it, and so many of them agree. */
const LEAST_SAMPLES = 20;
const AGREES_PART = 0.95;
/** Noise about zero of a clamp without a sign. */
const BELOW_PART = 0.05;

/** The capture with the sign that the leads tell, and a note of what was done; as it is where they tell nothing else. */
export function withClampSign(capture: Capture): Capture {
  const { motorCurrentA: current, leadAVoltageV: a, leadBVoltageV: b } = capture.channels;
  if (!current || !a || !b) return capture;
  const most = current.reduce((max, value) => Math.max(max, Math.abs(value) || 0), 0);
  const least = current.reduce((min, value) => Math.min(min, value || 0), 0);
  const count = { forward: { with: 0, against: 0 }, reverse: { with: 0, against: 0 } };
  for (let k = 0; k < current.length; k++) {
    const amperes = sampleAt(current, k);
    const volts = sampleAt(a, k) - sampleAt(b, k);
    if (!(Math.abs(amperes) > FLOWS_PART * most) || !(Math.abs(volts) > DRIVEN_V)) continue;
    count[volts > 0 ? 'forward' : 'reverse'][amperes > 0 === volts > 0 ? 'with' : 'against']++;
  }
  const { forward, reverse } = count;
  const against = forward.against + reverse.against;
  const all = against + forward.with + reverse.with;
  if (against > LEAST_SAMPLES && against > AGREES_PART * all)
    return {
      ...capture,
      channels: { ...capture.channels, motorCurrentA: current.map((value) => -value) },
      notes: [
        ...capture.notes,
        'The current runs against the voltage of the leads all the while: the clamp lies the other way round, or the leads are told the other way round. Its sign was changed.',
      ],
    };
  const isUnsigned =
    least > -BELOW_PART * most &&
    forward.with > LEAST_SAMPLES &&
    forward.with > AGREES_PART * (forward.with + forward.against) &&
    reverse.against > LEAST_SAMPLES &&
    reverse.against > AGREES_PART * (reverse.with + reverse.against);
  if (!isUnsigned) return capture;
  return {
    ...capture,
    channels: { ...capture.channels, motorCurrentA: signedBy(current, a, b) },
    notes: [
      ...capture.notes,
      'The current was read without its sign, which the leads tell: it was given theirs, and after a throw that of a brake.',
    ],
  };
}

/** Between leads that nothing drives, a motor that still turns gives its current the other way. */
function signedBy(current: Float64Array, a: Float64Array, b: Float64Array): Float64Array {
  let driven = 0;
  return current.map((value, k) => {
    const volts = sampleAt(a, k) - sampleAt(b, k);
    if (Math.abs(volts) > DRIVEN_V) {
      driven = Math.sign(volts);
      return driven * value;
    }
    return driven === 0 ? value : -driven * value;
  });
}
