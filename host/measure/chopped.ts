// A feed that goes off and on evenly while a throw is held: a chopper or speed controller, or a relay that buzzes. What
// a steady feed would show cannot be told from it.

import { sampleAt } from '../arrays/index.js';
import { type Capture, firstAtOrAfter } from '../capture/index.js';
import type { Dropout } from './dropouts.js';
import { median, quantile } from './statistics.js';

/** So many losses, most of them as far apart as the others, are no loose joint. Choices of this program, no source. */
const LEAST_LOSSES = 10;
const EVEN_PART = 0.25;
const EVEN_SHARE = 0.8;

/** How often a second the voltage at the motor goes off and on; undefined where it does not, or not evenly. */
export function choppedHz(dropouts: readonly Dropout[]): number | undefined {
  // Of brushes that lift, the leads keep their voltage.
  const lost = dropouts.filter(({ side }) => side === 'harness');
  if (lost.length < LEAST_LOSSES) return undefined;
  const steps = lost.slice(1).map(({ fromS }, i) => fromS - (lost[i]?.fromS ?? fromS));
  const usualS = median(steps);
  const even = steps.filter((stepS) => Math.abs(stepS / usualS - 1) < EVEN_PART);
  if (!(even.length > EVEN_SHARE * steps.length)) return undefined;
  return even.length / even.reduce((sum, stepS) => sum + stepS, 0);
}

/** Of its usual level while driven: a voltage is off below the first and on again above the second. Choices of this program, no source. */
const OFF_PART = 0.55;
const ON_PART = 0.85;
const LEAST_ONCE = 30;

/** The same by the samples as they were taken, quicker than losses of a contact are looked for. */
export function choppedFastHz(
  { channels, timeS }: Capture,
  { fromS, toS }: { fromS: number; toS: number },
): number | undefined {
  const { leadAVoltageV, leadBVoltageV } = channels;
  if (!leadAVoltageV || !leadBVoltageV) return undefined;
  const [from, to] = [firstAtOrAfter(timeS, fromS), firstAtOrAfter(timeS, toS)];
  const between = Float64Array.from({ length: Math.max(0, to - from) }, (_, i) =>
    Math.abs(sampleAt(leadAVoltageV, from + i) - sampleAt(leadBVoltageV, from + i)),
  );
  const usualV = quantile(between, 0.9);
  const goesOn: number[] = [];
  let isOn = true;
  between.forEach((volts, i) => {
    if (isOn && volts < OFF_PART * usualV) isOn = false;
    else if (!isOn && volts > ON_PART * usualV) {
      isOn = true;
      goesOn.push(sampleAt(timeS, from + i));
    }
  });
  if (goesOn.length < LEAST_ONCE) return undefined;
  const steps = goesOn.slice(1).map((atS, i) => atS - (goesOn[i] ?? atS));
  const usualS = median(steps);
  const even = steps.filter((stepS) => Math.abs(stepS / usualS - 1) <= EVEN_PART);
  if (!(even.length > EVEN_SHARE * steps.length)) return undefined;
  return even.length / even.reduce((sum, stepS) => sum + stepS, 0);
}
