// The course of a run against the band of good units, stretch by stretch: what a good unit passes, and what no single
// reading shows is failed.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel, Position } from '../../host/capture/index.js';
import { drawInput, type Netlist, nominalInput, seededRandom } from '../../host/circuit/index.js';
import { type Check, type Expectation, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 83;
const WHERE = ['rest', 'limited', 'forward', 'rest-forward', 'reverse', 'rest-reverse'];
const VENT = knownUnit('roof-vent-switch');
const STEP = knownUnit('entry-step-relays');
const expected = new Map<ResolvedUnit, Expectation>(
  [VENT, STEP].map((unit) => [unit, expectationOf(unit, 40)]),
);
const good = benchRun(VENT, drawInput(VENT, seededRandom(SEED)), { seed: SEED });

const judged = (unit: ResolvedUnit, capture: Capture): readonly Check[] =>
  judge({ unit, capture, expectation: expected.get(unit)! }).checks;
const courseOf = (checks: readonly Check[], where: string): Check =>
  checks.find(({ id }) => id === `envelope-${where}`)!;
const failed = (checks: readonly Check[]): string[] =>
  checks.filter(({ required, outcome }) => required && outcome === 'fail').map(({ id }) => id);

/** Instant of the nth change to `position` with the full feed. */
const startOf = ({ timeS, position, feed }: Capture, word: string): number =>
  timeS[position.findIndex((at, i) => at === word && feed![i] === 'full')]!;
const releaseOf = (capture: Capture, word: Position): number =>
  capture.timeS[capture.position.lastIndexOf(word) + 1]!;

/** The good capture with `channel` changed over [fromS, toS) of its time. */
function changed(channel: Channel, fromS: number, toS: number, by: number): readonly Check[] {
  const { capture } = good;
  const values = capture.channels[channel]!.map((value, i) =>
    capture.timeS[i]! >= fromS - 1e-9 && capture.timeS[i]! < toS - 1e-9 ? value + by : value,
  );
  return judged(VENT, { ...capture, channels: { ...capture.channels, [channel]: values } });
}

describe(`the course of a good unit (seed ${SEED})`, () => {
  // 0 to 40 C and 11 to 14.5 V: an unheated workshop, a low and a charging battery (common practice, no source).
  it.each([
    ['a switch', VENT],
    ['a relay pair', STEP],
  ] as const)(
    'lies in the band in every stretch, cold on a low battery and hot on a charged one: %s',
    (_, unit) => {
      for (const [temperatureC, voltageV] of [
        [0, 11],
        [20, 13],
        [40, 14.5],
      ] as const) {
        const drawn = drawInput(unit, seededRandom(SEED));
        const input = { ...drawn, temperatureC, supply: { ...drawn.supply, voltageV } };
        const checks = judged(unit, benchRun(unit, input, { seed: SEED }).capture);
        for (const where of WHERE) {
          const check = courseOf(checks, where);
          expect(check.outcome, check.sentence).toBe('pass');
          expect(check.value, check.sentence).toBe(0);
        }
      }
    },
  );
});

describe(`the course of a throw (seed ${SEED})`, () => {
  const startS = startOf(good.capture, 'forward');

  it('fails for a current that swells for a tenth of the throw and is back for its running level', () => {
    const check = courseOf(changed('motorCurrentA', startS + 0.2, startS + 0.3, 2), 'forward');
    expect(check.outcome, check.sentence).toBe('fail');
    expect(check.sentence).toContain('motor current');
    // 0.1 s of the 0.876 s between the edges.
    expect(check.value).toBeCloseTo(11.4, 0);
  });

  it('names the lead that lifts, and leaves a few milliseconds to contacts', () => {
    const lifted = (forS: number): Check =>
      courseOf(changed('leadBVoltageV', startS + 0.2, startS + 0.2 + forS, 1.5), 'forward');
    expect(lifted(0.1).sentence).toContain('lead B');
    expect(lifted(0.02).outcome).toBe('pass');
    // Between 5 and 10 % of the time neither passed nor failed.
    expect(lifted(0.065).outcome).toBe('conditional-fail');
  });
});

describe(`the course of a rest (seed ${SEED})`, () => {
  const releasedS = releaseOf(good.capture, 'forward');

  it.each([
    ['feedCurrentA', 1, 'feed current'],
    ['motorCurrentA', 1, 'motor current'],
    ['coilCurrentA', 0.05, 'coil current'],
    ['leadAVoltageV', 6, 'lead A'],
    ['leadBVoltageV', 6, 'lead B'],
  ] as const)('behind a throw covers %s', (channel, by, words) => {
    const check = courseOf(changed(channel, releasedS + 0.3, releasedS + 0.4, by), 'rest-forward');
    expect(check.outcome, check.sentence).toBe('fail');
    expect(check.sentence).toContain(words);
    // 0.1 s of the 0.676 s between the edges.
    expect(check.value).toBeCloseTo(14.8, 0);
  });

  it('before the first throw covers the lead-in with everything off', () => {
    // Through the motor a live wire lifts both leads.
    const values = { ...good.capture.channels };
    for (const lead of ['leadAVoltageV', 'leadBVoltageV'] as const)
      values[lead] = values[lead]!.map((value, i) =>
        good.capture.timeS[i]! > 0.05 && good.capture.timeS[i]! < 0.15 ? value + 6 : value,
      );
    const check = courseOf(judged(VENT, { ...good.capture, channels: values }), 'rest');
    expect(check.outcome).toBe('fail');
    expect(check.sentence).toContain('lead A and lead B');
  });

  it('before the first throw does not blame the unit for a shaft that still turns from before', () => {
    const values = { ...good.capture.channels };
    // 8 V of back-EMF, gone in some 100 ms, shared by the rig's loads on both leads.
    for (const [lead, half] of [
      ['leadAVoltageV', 4],
      ['leadBVoltageV', -4],
    ] as const)
      values[lead] = values[lead]!.map((value, i) => value + half * Math.exp(-good.capture.timeS[i]! / 0.05));
    const checks = judged(VENT, { ...good.capture, channels: values });
    expect(courseOf(checks, 'rest').outcome).toBe('pass');
    expect(courseOf(checks, 'limited').outcome).toBe('pass');
  });

  it('with the limited feed covers throws and rests', () => {
    // Plan: forward from 0.4 to 0.6 s of the capture, at rest to 0.95 s.
    for (const fromS of [0.45, 0.7]) {
      const check = courseOf(changed('leadBVoltageV', fromS, fromS + 0.1, 6), 'limited');
      expect(check.outcome, check.sentence).toBe('fail');
      expect(check.sentence).toContain('With the limited feed: the trace of lead B');
    }
  });

  it('leaves wet leads below 1 V to the check of their level', () => {
    expect(courseOf(changed('leadBVoltageV', releasedS, releasedS + 0.6, 0.9), 'rest-forward').outcome).toBe(
      'pass',
    );
  });

  it('is not asked behind a throw that was much shorter than planned', () => {
    const { capture } = good;
    const keep = (i: number): boolean =>
      capture.timeS[i]! < releasedS - 0.6 || capture.timeS[i]! >= releasedS;
    const index = [...capture.timeS.keys()].filter(keep);
    const short: Capture = {
      ...capture,
      timeS: Float64Array.from(index, (_, n) => n / capture.sampleRateHz),
      position: index.map((i) => capture.position[i]!),
      feed: index.map((i) => capture.feed![i]!),
      channels: Object.fromEntries(
        Object.entries(capture.channels).map(([name, values]) => [
          name,
          Float64Array.from(index, (i) => values[i]!),
        ]),
      ),
    };
    const checks = judged(VENT, short);
    expect(courseOf(checks, 'rest-forward')).toBeUndefined();
    expect(courseOf(checks, 'rest-reverse').outcome).toBe('pass');
  });
});

describe(`faults that only a rest shows (seed ${SEED})`, () => {
  /** A contact of its own between `element` and the node at its end `a`. */
  const throughContact =
    (element: string) =>
    ({ elements }: Netlist): Netlist => ({
      elements: [
        ...elements.map((each) => (each.id === element ? { ...each, a: 'loose' } : each)),
        {
          kind: 'contact',
          id: 'loose-joint',
          a: (elements.find(({ id }) => id === element) as { a: string }).a,
          b: 'loose',
          closed: true,
          contactResistanceOhm: 0.005,
          closeDelayS: 0,
          openDelayS: 0,
        },
      ],
    });

  it('a rest contact that lets go again while the motor brakes: lead A floats on the back-EMF', () => {
    const input = drawInput(STEP, seededRandom(SEED));
    const releasedS = releaseOf(benchRun(STEP, input, { seed: SEED }).capture, 'forward');
    const { capture } = benchRun(STEP, input, {
      seed: SEED,
      intermittent: {
        edit: throughContact('k1-87a-ground'),
        schedule: [
          { atS: releasedS + 0.012, settings: [{ element: 'loose-joint', state: 'open' }] },
          { atS: releasedS + 0.45, settings: [{ element: 'loose-joint', state: 'closed' }] },
        ],
      },
    });
    const checks = judged(STEP, capture);
    expect(checks.find(({ id }) => id === 'release-forward')!.outcome).toBe('pass');
    expect(failed(checks), courseOf(checks, 'rest-forward').sentence).toEqual(['envelope-rest-forward']);
    expect(courseOf(checks, 'rest-forward').sentence).toContain('lead A');
  });

  it('a chafed lead that touches the feed for a moment after the motor has stopped: the wrong rail', () => {
    const releasedS = releaseOf(good.capture, 'reverse');
    const { capture } = benchRun(VENT, nominalInput(VENT), {
      seed: SEED,
      intermittent: {
        edit: ({ elements }) => ({
          elements: [
            ...elements,
            {
              kind: 'contact',
              id: 'chafed',
              a: 'rig.feed',
              b: 'rig.motor-b',
              closed: false,
              contactResistanceOhm: 0.5,
              closeDelayS: 0,
              openDelayS: 0,
            },
          ],
        }),
        schedule: [
          { atS: releasedS + 0.4, settings: [{ element: 'chafed', state: 'closed' }] },
          { atS: releasedS + 0.55, settings: [{ element: 'chafed', state: 'open' }] },
        ],
      },
    });
    const checks = judged(VENT, capture);
    expect(failed(checks)).toEqual(['envelope-rest-reverse']);
    // Joined through the motor, both leads stand on the feed.
    expect(courseOf(checks, 'rest-reverse').sentence).toMatch(
      /traces of lead [AB] and lead [AB] are outside/,
    );
  });
});
