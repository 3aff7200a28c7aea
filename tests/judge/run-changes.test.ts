// What changes during a run and is not the unit's doing: the supply dips, sags or drifts, the rotor is stopped or loaded in
// mid-throw. Waveforms are the circuit model's own on a bench with noise, bounce and rig errors; the supplies are common
// practice, no source (a tired battery 0.25 Ohm, a dip from 13 to 9.5 V while another load starts).

import { describe, expect, it } from 'vitest';
import type { Netlist, ScheduleEntry } from '../../host/circuit/index.js';
import { nominalInput } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { LEAD_IN_S, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 8801;
const UNITS = [loadUnit('window-lift-switch'), knownUnit('entry-step-relays'), knownUnit('roof-vent-switch')];

type Points = [number, number][];
type Change = { edit?: (netlist: Netlist) => Netlist; schedule?: readonly ScheduleEntry[] };

const supplyIs =
  (voltageV: Points | undefined, sourceResistanceOhm?: number) =>
  (netlist: Netlist): Netlist => ({
    ...netlist,
    elements: netlist.elements.map((element) =>
      element.kind === 'supply'
        ? {
            ...element,
            ...(voltageV ? { voltageV } : {}),
            ...(sourceResistanceOhm === undefined ? {} : { sourceResistanceOhm }),
          }
        : element,
    ),
  });
const loadIs =
  (loadNm: Points) =>
  (netlist: Netlist): Netlist => ({
    ...netlist,
    elements: netlist.elements.map((element) =>
      element.kind === 'motor' ? { ...element, loadNm } : element,
    ),
  });
const held = (fromS: number, toS: number): ScheduleEntry[] => [
  { atS: fromS, settings: [{ element: 'motor', state: 'held' }] },
  { atS: toS, settings: [{ element: 'motor', state: 'free' }] },
];

/** Start and end of the first throw of a way at the full feed, and the end of the plan. */
function throwOf({ plan }: ResolvedUnit, position: string) {
  let atS = LEAD_IN_S;
  let found = { fromS: 0, toS: 0 };
  for (const step of plan.steps) {
    if (step.position === position && step.feed === 'full' && found.toS === 0)
      found = { fromS: atS, toS: atS + step.durationS };
    atS += step.durationS;
  }
  return { ...found, endS: atS };
}

function told(unit: ResolvedUnit, { edit = (netlist) => netlist, schedule = [] }: Change, good = unit) {
  const run = benchRun(unit, nominalInput(unit), { seed: SEED, intermittent: { edit, schedule } });
  return judge({ unit, capture: run.capture, stop: run.stop, expectation: expectationOf(good, 40) });
}

describe.each(UNITS.map((unit) => [unit.unit.id, unit] as const))(
  `a good unit, %s (bench ${SEED})`,
  (_id, unit) => {
    const forward = throwOf(unit, 'forward');
    const reverse = throwOf(unit, 'reverse');
    const dip = (fromS: number, forS: number, toV: number): Change => ({
      edit: supplyIs([
        [0, 13],
        [fromS, 13],
        [fromS + 0.005, toV],
        [fromS + forS, toV],
        [fromS + forS + 0.005, 13],
      ]),
    });

    it('passes while the supply dips, and the dip is told as the supply’s', () => {
      for (const afterS of [0.02, 0.3]) {
        const { verdict, checks, measured } = told(unit, dip(forward.fromS + afterS, 0.2, 9.5));
        expect(verdict, `${afterS} s`).toBe('pass');
        const moved = checks.find(({ id }) => id === 'supply-moves-forward');
        expect(moved).toMatchObject({ of: 'supply', required: false, outcome: 'not-tested' });
        expect(moved?.sentence).toMatch(
          /the supply falls from 1[23]\.\d V to 9\.\d V for 0\.(18|19|20|21) s/,
        );
        expect(measured.forwardDropoutsHarnessSide?.value ?? 0).toBe(0);
      }
    });

    it('runs at the same current with the dip as without it, within the stated ±', () => {
      const plain = told(unit, {}).measured.forwardRunningCurrentA!;
      const dipped = told(unit, dip(forward.fromS + 0.4, 0.15, 9.5)).measured.forwardRunningCurrentA!;
      expect(Math.abs(dipped.value - plain.value)).toBeLessThan(
        Math.hypot(dipped.expandedUncertainty, plain.expandedUncertainty),
      );
    });

    it('passes on a battery of 0.25 Ohm, and while the supply drifts up or down by a fifth', () => {
      expect(told(unit, { edit: supplyIs(undefined, 0.25) }).verdict).toBe('pass');
      for (const [fromV, toV] of [
        [11.6, 14.2],
        [13.8, 11.4],
      ] as const) {
        const drift: Points = [
          [0, fromV],
          [forward.endS, toV],
        ];
        const { verdict, findings } = told(unit, { edit: supplyIs(drift) });
        expect(verdict, `${fromV} V`).toBe('pass');
        expect(findings).toEqual([]);
      }
    });

    it('that stops in mid-throw and is held is told so, runs at what it ran before, and is accused of nothing', () => {
      const stopped = told(unit, { schedule: held(forward.fromS + 0.6, forward.toS) });
      const plain = told(unit, {}).measured.forwardRunningCurrentA!;
      expect(stopped.verdict).toBe('cannot-tell');
      expect(stopped.sentence).toMatch(
        /^Forward: the motor runs at [\d.]+ A, stops after 0\.[56] s and is held: /,
      );
      const ran = stopped.measured.forwardRunningCurrentA!;
      expect(Math.abs(ran.value - plain.value)).toBeLessThan(
        Math.hypot(ran.expandedUncertainty, plain.expandedUncertainty),
      );
      expect(stopped.checks.filter(({ outcome, required }) => required && outcome === 'fail')).toEqual([]);
      expect(stopped.findings.filter(({ id, likelihood }) => id !== 'healthy' && likelihood > 0.5)).toEqual(
        [],
      );
    });

    it('passes when it stops where its profile says that its travel ends, and fails where it says that there is none', () => {
      const stop = {
        schedule: [...held(forward.fromS + 0.6, forward.toS), ...held(reverse.fromS + 0.5, reverse.toS)],
      };
      const saying = (endsOfTravel: boolean): ResolvedUnit => ({
        ...unit,
        unit: { ...unit.unit, endsOfTravel },
      });
      expect(told(saying(true), stop, unit).verdict).toBe('pass');
      const jammed = told(saying(false), stop, unit);
      expect(jammed.verdict).toBe('fail');
      expect(jammed.sentence).toMatch(/something jams it there/);
    });

    it('whose load steps in mid-throw is told so and runs at what it ran before', () => {
      const { coulombNm } = nominalInput(unit).motor;
      const stepsAtS = forward.fromS + 0.45;
      const { verdict, sentence, measured } = told(unit, {
        edit: loadIs([
          [0, 0],
          [stepsAtS, 0],
          [stepsAtS + 0.01, 2 * coulombNm],
          [forward.toS, 2 * coulombNm],
          [forward.toS + 0.01, 0],
        ]),
      });
      expect(verdict).toBe('cannot-tell');
      expect(sentence).toMatch(/^Forward: .* and after 0\.[45] s the current rises to .* begins to load/);
      expect(measured.forwardDropouts ?? measured.forwardDropoutsMotorSide).toMatchObject({ value: 0 });
      expect(measured.changedCurrentA).toBeUndefined();
      expect(measured.forwardChangedCurrentA!.value).toBeGreaterThan(
        1.3 * measured.forwardRunningCurrentA!.value,
      );
    });
  },
);
