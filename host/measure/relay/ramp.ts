// Pull-in and drop-out while a person turns the coil's supply slowly up and down: the coil voltage at which the working
// contact begins and ceases to carry.

import { sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { type Budgets, budgetOf, systematic } from '../budget.js';
import { lineOf, quantityOf } from '../quantity.js';
import type { Told } from '../reading.js';
import { median, quantile } from '../statistics.js';
import type { RelayStretches } from './stretches.js';

/** Voltage is read over this much before the contact moved. */
const READ_S = 0.02;
/** Between the armature's start and the contact's change (published operate and release times, 1.3 to 10 ms). */
const TRAVEL_S = 0.006;
/** Turned faster than this, the travel alone is worth more than 20 mV. */
const QUICK_V_PER_S = 6;
/** The working contact's branch counts as carrying from this part of its usual current. */
const CARRIES_PART = 0.5;
const LEAST_A = 0.3;
const LEAST_PULL_IN_V = 1;
/** Bounce and a half-closed contact: a change counts when it stays. */
const STAYS_S = 0.03;

export function rampVoltages(
  capture: Capture,
  ramp: NonNullable<RelayStretches['ramp']>,
  budgets: Budgets,
): { measured: Told; notes: string[] } {
  const { timeS, channels } = capture;
  const working = channels.motorCurrentA;
  const { volts } = ramp;
  const { from, to } = ramp.span;
  if (!working)
    return { measured: {}, notes: ['Pull-in needs the motor current, which shows the working contact.'] };
  const magnitude = working.subarray(from, to).map(Math.abs);
  const most = quantile(magnitude, 0.99);
  const notes: string[] = [];
  const measured: Told = {};
  if (!(most > LEAST_A))
    return { measured, notes: ['The working contact never carried while the supply was turned.'] };
  const stays = Math.max(
    1,
    Math.round((STAYS_S * (to - from)) / (sampleAt(timeS, to - 1) - sampleAt(timeS, from))),
  );
  const read = Math.max(3, Math.round((READ_S / STAYS_S) * stays));
  const carries = (i: number): boolean => sampleAt(magnitude, i) > CARRIES_PART * most;
  const changes: { at: number; closes: boolean }[] = [];
  let state = carries(0);
  for (let i = 1; i < magnitude.length; i++) {
    if (carries(i) === state) continue;
    let kept = true;
    for (let j = i; j < Math.min(magnitude.length, i + stays); j += 5) kept &&= carries(j) !== state;
    if (!kept) continue;
    state = !state;
    changes.push({ at: from + i, closes: state });
  }
  const budget = budgetOf(budgets, ramp.channel);
  const voltageAt = (at: number) => {
    const low = Math.max(from, at - read);
    const early = median(volts, low, at);
    const earlier = median(volts, Math.max(from, low - read), low);
    const spanS = sampleAt(timeS, at) - sampleAt(timeS, low);
    const rate = spanS > 0 && low > from + read ? (early - earlier) / spanS : 0;
    if (Math.abs(rate) > QUICK_V_PER_S)
      notes.push('The supply was turned faster than 6 V/s; turn it slowly.');
    // From the middle of what was read to the start of the travel.
    const value = early + rate * (spanS / 2 - TRAVEL_S);
    const lines = [
      ...systematic(budget, value),
      lineOf((Math.abs(rate) * TRAVEL_S) / Math.sqrt(3), 'travel of the armature'),
      lineOf(budget.resolution / Math.sqrt(read), 'steps of the converter'),
    ];
    return quantityOf(value, 'V', lines, { fromS: sampleAt(timeS, low), toS: sampleAt(timeS, at) });
  };
  // A contact that carries with no voltage on the coil did not get there by being pulled in.
  const pullIn = changes.find(({ at, closes }) => closes && voltageAt(at).value > LEAST_PULL_IN_V);
  const dropOut = pullIn && changes.find(({ at, closes }) => !closes && at > pullIn.at);
  if (pullIn) measured.pullInVoltageV = voltageAt(pullIn.at);
  else
    notes.push(
      'The working contact carried before the supply was turned up; start at 0 V, and look for a weld.',
    );
  if (dropOut) measured.dropOutVoltageV = voltageAt(dropOut.at);
  else if (pullIn) notes.push('The relay was still pulled in when the turning ended; turn down to 0 V.');
  return { measured, notes: [...new Set(notes)] };
}
