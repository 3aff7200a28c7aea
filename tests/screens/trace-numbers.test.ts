// The numbers beside a trace, and that none is told of a throw that was not made.

import { describe, expect, it } from 'vitest';
import { BenchController } from '../../host/screens/index.js';
import { traceNumbers } from '../../host/screens/trace-numbers.js';
import { frameOf, UNICODE } from './fake-terminal.js';
import { STEPS } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

const timeS = Float64Array.from({ length: 2000 }, (_, i) => i / 1000);
const span = (position: 'rest' | 'forward' | 'reverse', fromS: number, toS: number) => ({
  step: { position, durationS: toS - fromS, feed: 'full' as const },
  ...{ fromS, toS },
});

describe('numbers beside a trace', () => {
  const value = timeS.map((t) => (t < 0.5 ? 0 : t < 0.55 ? 15 : t < 1 ? 4 : 0));

  it('are the peak, and the level of the second half of a throw', () => {
    expect(traceNumbers({ timeS, value }, [span('rest', 0, 0.5), span('forward', 0.5, 1)])).toEqual([
      { name: 'peak', value: 15 },
      { name: 'forward', value: 4 },
    ]);
  });

  it('are none of nothing', () => {
    expect(traceNumbers({ timeS: new Float64Array(), value: new Float64Array() }, [])).toEqual([]);
  });
});

describe('a throw that somebody makes by hand, later than planned', () => {
  it('gives no level to the throw that was planned for that time', () => {
    const controller = new BenchController({
      ...{ stop: () => undefined, clock: new StepClock(), startsByItself: false },
    });
    controller.take({ kind: 'tray-started', units: [{ tag: 'V-1', profileTitle: 'Vent' }] });
    controller.take({
      ...{ kind: 'unit-started', index: 0, tag: 'V-1', profileId: 'vent', profileTitle: 'Vent' },
      ...{ circuitTitle: 'Any', steps: STEPS },
    });
    STEPS.slice(0, 2).forEach((step, index) => {
      controller.take({ kind: 'step-started', index, step, atS: index * 0.4 });
    });
    // Long past the planned end of forward, in the time that was planned for reverse.
    controller.take({
      kind: 'samples',
      slice: { timeS: timeS.map((t) => t + 0.6), channels: { leadAVoltageV: timeS.map(() => 12.8) } },
    });
    const frame = (): string =>
      frameOf({
        ...{ state: controller.state, traces: controller.traces, theme: UNICODE, columns: 80, rows: 24 },
      });
    expect(frame()).not.toMatch(/reverse +\+12\.8 V/);
    controller.take({
      kind: 'prompt',
      prompt: { code: 'let-go', position: 'forward', sentence: 'Let go of the switch.' },
    });
    expect(frame()).not.toMatch(/(reverse|forward) +\+12\.8 V/);
    expect(frame()).toMatch(/Lead A +\+12\.8 V/);
  });
});
