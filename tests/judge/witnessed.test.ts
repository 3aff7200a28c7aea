// Runs that no rig drove and whose table tells no positions: the throws go by what flows, nothing stops the run, and each
// cause is held against what it would have shown so. Mistakes and wear as a bench meets them (common practice, no source);
// how a relay's contacts stand by DIN 72552 (30, 87, 87a).

import { beforeAll, describe, expect, it } from 'vitest';
import { type Capture, CHANNEL, type Channel, readCaptureCsv } from '../../host/capture/index.js';
import { type Netlist, nominalInput, type ScheduleEntry } from '../../host/circuit/index.js';
import { diagnosisLibrary } from '../../host/diagnose/index.js';
import { asWitnessed, expectation, type JudgeRequest, judge } from '../../host/judge/index.js';
import { LEAD_IN_S, planSchema, type ResolvedUnit } from '../../host/profile/index.js';
import { weldable, weldsAt } from '../circuit/weld.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';

const SEED = 9313;
const LEADS: readonly Channel[] = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'];

const planned = (restS: number): ResolvedUnit['plan'] =>
  planSchema.parse({
    ...{ id: 'by-hand', title: 'By hand', kind: 'plan' },
    steps: [
      { position: 'rest', durationS: 0.4 },
      { position: 'forward', durationS: 0.9 },
      ...(restS > 0 ? [{ position: 'rest', durationS: restS }] : []),
      { position: 'reverse', durationS: 0.9 },
      { position: 'rest', durationS: 0.7 },
    ],
  });
/** A clamp for four times the current of a rig. */
const WIDE = ({ rig: { scales } }: ResolvedUnit): ResolvedUnit['rig']['scales'] => {
  const { motorCurrentA } = scales;
  const { atZeroCount, perCount } = motorCurrentA;
  return {
    ...scales,
    motorCurrentA: { ...motorCurrentA, atZeroCount: 4 * atZeroCount, perCount: 4 * perCount },
  };
};
const FORWARD_S = LEAD_IN_S + 0.4;

/** As another instrument writes it: time, and a column for each channel. */
function written({ timeS, channels }: Capture, wanted: readonly Channel[]): Capture {
  const head = ['time (s)', ...wanted.map((name) => `${CHANNEL[name].label} (${CHANNEL[name].unit})`)];
  const rows = Array.from(timeS, (t, k) =>
    [t.toFixed(4), ...wanted.map((name) => (channels[name]?.[k] ?? 0).toFixed(3))].join(','),
  ).filter((_, k) => (timeS[k] ?? 0) >= LEAD_IN_S);
  return readCaptureCsv(`${head.join(',')}\n${rows.join('\n')}\n`, 'logger.csv');
}

describe.each(['entry-step-relays', 'roof-vent-switch'])(
  `%s, by another instrument (bench ${SEED})`,
  (id) => {
    const unit = knownUnit(id);
    let known: Pick<JudgeRequest, 'unit' | 'expectation' | 'library'>;
    beforeAll(() => {
      const witnessed = asWitnessed(unit, { positionKnown: false } as Capture);
      const library = diagnosisLibrary(witnessed);
      known = { unit: witnessed, expectation: expectation(witnessed), library: () => library };
    });

    function told(
      faults: readonly string[],
      {
        channels = LEADS,
        restS = 0.7,
        edit = (netlist) => netlist,
        schedule = [],
      }: {
        channels?: readonly Channel[];
        restS?: number;
        edit?: (netlist: Netlist) => Netlist;
        schedule?: readonly ScheduleEntry[];
      } = {},
    ) {
      const trip = { ...unit.rig.trip, motorCurrentA: 1e6, feedCurrentA: 1e6 };
      const thrown = { ...unit, plan: planned(restS), rig: { ...unit.rig, scales: WIDE(unit), trip } };
      const { capture } = benchRun(thrown, withFaults(nominalInput(thrown), ...faults), {
        seed: SEED,
        intermittent: { edit, schedule },
      });
      return judge({ ...known, capture: written(capture, channels) });
    }
    const firstOf = ({ findings }: ReturnType<typeof told>): readonly string[] =>
      findings.slice(0, 1).flatMap(({ id: first, inseparable }) => [first, ...(inseparable ?? [])]);

    it('good, is accused of nothing, reversed at once or not', () => {
      for (const restS of [0.7, 0]) {
        const { verdict, sentence, findings, checks } = told([], { restS });
        expect(verdict, sentence).toBe('cannot-tell');
        expect(findings[0]?.id, sentence).toBe('healthy');
        expect(checks.filter(({ outcome }) => outcome === 'fail')).toEqual([]);
      }
    });

    it('is named where the motor is shorted, which no firmware stopped', () => {
      expect(firstOf(told(['motor-shorted']))).toContain('motor-shorted');
    });

    if (id === 'entry-step-relays') {
      it('names 87 and 87a exchanged at both relays, by what then drives the other way round', () => {
        const found = told(['k1-k2-87-87a-exchanged'], { channels: [...LEADS, 'supplyVoltageV'] });
        expect(found.verdict).toBe('fail');
        expect(firstOf(found)).toContain('k1-k2-87-87a-exchanged');
      });

      it('names the contact that welds in mid-throw, and since when', () => {
        const found = told([], {
          edit: (netlist) => weldable(netlist, 'k1'),
          schedule: weldsAt(FORWARD_S + 0.5),
        });
        expect(found.verdict).toBe('fail');
        expect(firstOf(found)).toContain('k1-make-welded');
        expect(found.findings[0]?.sentence).toMatch(/from the forward throw on/);
      });
    }
  },
);

describe('a profile', () => {
  const unit = knownUnit('entry-step-relays');
  it('stays as it is where a rig was there', () => {
    expect(asWitnessed(unit, { feed: ['full'] } as unknown as Capture)).toBe(unit);
  });
  it('throws fully from the first where none was', () => {
    const { plan, witness } = asWitnessed(unit, {} as Capture);
    expect(witness).toBe('positions-told');
    expect(plan.steps.every(({ feed }) => feed === 'full')).toBe(true);
    expect(plan.steps.map(({ position }) => position)).toEqual([
      ...['rest', 'forward', 'rest', 'reverse', 'rest'],
    ]);
  });
});
