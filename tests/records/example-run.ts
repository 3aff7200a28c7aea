// A run to record: a real unit profile, a plain judgement, and samples of a known shape.

import type { Capture, Position } from '../../host/capture/index.js';
import type { JudgementRecord } from '../../host/records/index.js';
import type { SampleBlock } from '../../host/rig/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

export const RATE_HZ = 5000;

export const RIG = {
  rigId: 'bench-1',
  model: 'reference-rig',
  firmwareVersion: '1.0.0',
  protocolVersion: '1',
  port: 'virtual',
};

export const begin = (tag = 'V-0107', startedAt = '2024-06-11T08:30:00.000Z') => ({
  tag,
  unit: plannedUnit('roof-vent-switch'),
  rig: RIG,
  startedAt,
});

/** `count` samples from `fromIndex` on: motor current = index / 8, lead A = -index / 16. */
export function block(fromIndex: number, count: number): SampleBlock {
  const at = (f: (i: number) => number): Float64Array =>
    Float64Array.from({ length: count }, (_, k) => f(fromIndex + k));
  return {
    timeS: at((i) => i / RATE_HZ),
    position: Array.from({ length: count }, (_, k): Position => (fromIndex + k < 100 ? 'rest' : 'forward')),
    channels: { motorCurrentA: at((i) => i / 8), leadAVoltageV: at((i) => -i / 16) },
  };
}

export function capture(count: number): Capture {
  return { ...block(0, count), gaps: [], sampleRateHz: RATE_HZ, notes: [] };
}

export const judgement = (verdict: JudgementRecord['verdict'] = 'pass'): JudgementRecord => ({
  verdict,
  sentence: 'Runs 1.5 A both ways and coasts when released.',
  checks: [
    {
      id: 'running-current-forward',
      sentence: 'Running current forward 1.52 A, expected 1.2 to 1.8 A.',
      value: 1.52,
      unit: 'A',
      expandedUncertainty: 0.03,
      lower: 1.2,
      upper: 1.8,
      outcome: 'pass',
      required: true,
      origin: 'model',
    },
    {
      id: 'coil-current',
      sentence: 'Coil current not tested.',
      outcome: 'not-tested',
      required: false,
      origin: 'model',
    },
  ],
  findings: [{ id: 'motor-open', likelihood: 0.1, sentence: 'Unlikely.', nextProbe: 'None.' }],
  measured: {
    runningCurrentForwardA: {
      value: 1.52,
      unit: 'A',
      standardUncertainty: 0.015,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      expandedUncertainty: 0.03,
    },
  },
});
