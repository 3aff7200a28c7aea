// Good units are never accused, every fault of a style is seen and named. The bench adds noise, 10-bit rounding, bounce,
// gain and offset errors, temperature and supply spread; its seeds are other than the expectation's.

import { beforeAll, describe, expect, it } from 'vitest';
import { CHANNEL } from '../../host/capture/index.js';
import {
  drawInput,
  faultsOf,
  nominalInput,
  seededRandom,
  type UnitCircuitInput,
} from '../../host/circuit/index.js';
import { boundOf, type Expectation, type Judgement, judge, judgementJson } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { type BenchOptions, benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const PROFILES = ['roof-vent-switch', 'window-lift-switch', 'entry-step-relays', 'seat-slide-relays'];
const ready = new Map<string, { unit: ResolvedUnit; expected: Expectation }>();

beforeAll(() => {
  for (const id of PROFILES) {
    const unit = knownUnit(id);
    const expected = expectationOf(unit);
    ready.set(id, { unit, expected });
  }
}, 120_000);

function judged(id: string, input: UnitCircuitInput, options: BenchOptions): Judgement {
  const { unit, expected } = ready.get(id)!;
  const run = benchRun(unit, input, options);
  return judge({ unit, capture: run.capture, expectation: expected, stop: run.stop });
}

const failing = (judgement: Judgement): string =>
  judgement.checks
    .filter(({ outcome }) => outcome !== 'pass')
    .map(({ outcome, sentence }) => `${outcome}: ${sentence}`)
    .join('\n');

describe('a good unit', () => {
  it.each(PROFILES)(
    'of profile %s passes in 12 of 12 draws (units from seed 4100, benches 4200 to 4211)',
    (id) => {
      const random = seededRandom(4100);
      for (let n = 0; n < 12; n++) {
        const judgement = judged(id, drawInput(ready.get(id)!.unit, random), { seed: 4200 + n });
        expect(judgement.verdict, `bench ${4200 + n}: ${failing(judgement)}`).toBe('pass');
        expect(judgement.findings).toEqual([]);
      }
    },
    60_000,
  );

  it.each([
    [11.3, 0.04],
    [14.2, 0.04],
    [12.6, 0.09],
  ])(
    'is not failed by a supply of %f V with %f Ohm (bench 4300)',
    (voltageV, sourceResistanceOhm) => {
      for (const id of PROFILES) {
        const input = { ...nominalInput(ready.get(id)!.unit), supply: { voltageV, sourceResistanceOhm } };
        const judgement = judged(id, input, { seed: 4300 });
        expect(judgement.verdict, `${id}: ${failing(judgement)}`).toBe('pass');
      }
    },
    60_000,
  );

  it('on a supply that collapses is neither passed nor failed (10 V, 0.3 Ohm; bench 4310)', () => {
    const input = {
      ...nominalInput(ready.get('entry-step-relays')!.unit),
      supply: { voltageV: 10.2, sourceResistanceOhm: 0.3 },
    };
    const judgement = judged('entry-step-relays', input, { seed: 4310 });
    expect(judgement.verdict).toBe('cannot-tell');
    expect(judgement.sentence).toMatch(/supply/i);
  });
});

describe('every fault that a style lists', () => {
  it.each(['window-lift-switch', 'entry-step-relays'])(
    'on %s is not passed and is the first finding or inseparable from it (units from seed 5100)',
    (id) => {
      const { unit } = ready.get(id)!;
      const random = seededRandom(5100);
      const missed: string[] = [];
      const misnamed: string[] = [];
      const faults = faultsOf(unit.style);
      faults.forEach((fault, n) => {
        const judgement = judged(id, { ...drawInput(unit, random), faults: [fault] }, { seed: 5200 + n });
        if (judgement.verdict === 'pass') missed.push(`${fault.id} (bench ${5200 + n})`);
        const first = judgement.findings[0];
        if (first?.id !== fault.id && !first?.inseparable?.includes(fault.id))
          misnamed.push(`${fault.id} as ${first?.id}`);
      });
      expect(faults.length).toBeGreaterThan(30);
      expect(missed).toEqual([]);
      // A draw at the edge of its tolerances may read like the neighbouring fault: one in twenty at most.
      expect(misnamed.length, misnamed.join(', ')).toBeLessThanOrEqual(Math.floor(faults.length / 20));
    },
    180_000,
  );
});

describe('units of the demo tray, five benches each', () => {
  const cases: [
    string,
    string,
    string,
    Partial<BenchOptions>,
    (input: UnitCircuitInput) => UnitCircuitInput,
  ][] = [
    [
      'window-lift-switch',
      'motor-leads-exchanged',
      'polarity-forward',
      {},
      (input) => withFaults(input, 'motor-leads-exchanged'),
    ],
    [
      'window-lift-switch',
      'jumper-a2-b1-missing',
      'polarity-reverse',
      {},
      (input) => withFaults(input, 'jumper-a2-b1-missing'),
    ],
    [
      'entry-step-relays',
      'k1-87-87a-exchanged',
      'rest-current',
      {},
      (input) => withFaults(input, 'k1-87-87a-exchanged'),
    ],
    [
      'entry-step-relays',
      'k2-coil-open',
      'coil-current-reverse',
      {},
      (input) => withFaults(input, 'k2-coil-open'),
    ],
    [
      'window-lift-switch',
      'motor-brushes-worn',
      'dropouts-forward',
      { dropouts: { perS: 12, lengthS: 0.004 } },
      (input) => ({ ...input, motor: { ...input.motor, resistanceOhm: input.motor.resistanceOhm + 0.35 } }),
    ],
    [
      'seat-slide-relays',
      'motor-gearbox-bound',
      'running-forward',
      {},
      (input) => ({ ...input, motor: { ...input.motor, coulombNm: input.motor.coulombNm * 2.5 } }),
    ],
  ];
  it.each(cases)(
    '%s with %s fails at %s and is named so',
    (id, fault, check, options, edit) => {
      for (const seed of [6101, 6102, 6103, 6104, 6105]) {
        const judgement = judged(id, edit(drawInput(ready.get(id)!.unit, seededRandom(seed))), {
          seed,
          ...options,
        });
        expect(judgement.verdict, `seed ${seed}`).toBe('fail');
        expect(judgement.checks.find((candidate) => candidate.id === check)?.outcome, `seed ${seed}`).toBe(
          'fail',
        );
        const first = judgement.findings[0]!;
        expect(
          [first.id, ...(first.inseparable ?? [])],
          `seed ${seed}: ${judgement.findings.map((f) => `${f.id} ${f.likelihood.toFixed(2)}`).join(', ')}`,
        ).toContain(fault);
        expect(first.nextProbe.length).toBeGreaterThan(10);
      }
    },
    60_000,
  );
});

describe('what was not seen', () => {
  const good = () => {
    const { unit } = ready.get('entry-step-relays')!;
    return benchRun(unit, nominalInput(unit), { seed: 7001 }).capture;
  };
  const judgeCapture = (capture: ReturnType<typeof good>, stop?: string) => {
    const { unit, expected } = ready.get('entry-step-relays')!;
    return judge({ unit, capture, expectation: expected, stop });
  };

  it('passes when nothing is missing', () => {
    expect(judgeCapture(good()).verdict).toBe('pass');
  });

  it.each(['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'coilCurrentA'] as const)(
    'never passes without %s',
    (channel) => {
      const { [channel]: _gone, ...channels } = good().channels;
      const judgement = judgeCapture({ ...good(), channels });
      expect(judgement.verdict).toBe('cannot-tell');
      expect(judgement.checks.find(({ id }) => id === 'samples-complete')?.sentence).toContain(
        CHANNEL[channel].words,
      );
    },
  );

  it('never passes with 40 ms lost from a throw, and says where', () => {
    const capture = good();
    // The throw with the full feed runs from 1.55 to 2.45 s.
    for (const values of Object.values(capture.channels)) values.fill(Number.NaN, 2.0 * 5000, 2.04 * 5000);
    const judgement = judgeCapture(capture);
    expect(judgement.verdict).toBe('cannot-tell');
    expect(judgement.checks.find(({ id }) => id === 'samples-complete')?.sentence).toMatch(/forward/);
  });

  it('never passes a run stopped by hand after the first throw', () => {
    const capture = good();
    const count = 2.9 * 5000;
    const cut = {
      ...capture,
      timeS: capture.timeS.slice(0, count),
      position: capture.position.slice(0, count),
      feed: capture.feed!.slice(0, count),
      channels: Object.fromEntries(
        Object.entries(capture.channels).map(([name, values]) => [name, values.slice(0, count)]),
      ),
    };
    const judgement = judgeCapture(cut, 'stop-input');
    expect(judgement.verdict).toBe('cannot-tell');
    expect(judgement.checks.find(({ id }) => id === 'running-reverse')?.outcome).toBe('not-tested');
  });

  it('judges a stored capture the same every time', () => {
    expect(judgementJson(judgeCapture(good()))).toEqual(judgementJson(judgeCapture(good())));
  });
});

describe('the expected band', () => {
  it('holds a good draw of another seed for nearly all of the run (seed 7101)', () => {
    const { unit, expected } = ready.get('window-lift-switch')!;
    const band = boundOf(expected);
    const { capture } = benchRun(unit, drawInput(unit, seededRandom(7101)), {
      seed: 7102,
      noiseCounts: 0,
      rigErrors: false,
    });
    const current = capture.channels.motorCurrentA!;
    let inside = 0;
    let seen = 0;
    capture.timeS.forEach((t, i) => {
      const slot = Math.min(band.timeS.length - 1, Math.floor(t / 0.002));
      const [low, high] = [band.lower.motorCurrentA![slot]!, band.upper.motorCurrentA![slot]!];
      seen++;
      if (current[i]! > low - 0.15 && current[i]! < high + 0.15) inside++;
    });
    expect(inside / seen).toBeGreaterThan(0.95);
  });
});
