// What may be wrong: the style's own faults, and conditions of the motor. Each is one or more ways to build the circuit.

import { faultsOfUnit, motorOf, rigFaultsOf, type UnitCircuitInput } from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { weighedForMotorAlone } from './motor-alone.js';

export interface Hypothesis {
  id: string;
  sentence: string;
  nextProbe: string;
  /** Relative weight before anything was measured. */
  prior: number;
  /** Faults that the style itself calls inseparable share a group. */
  group?: string;
  /** Ways that it may show, from slight to strong; each an edit of the good unit. */
  variants: ((good: UnitCircuitInput) => UnitCircuitInput)[];
  /** Chance that the current drops out at least once in a throw, by side. */
  dropouts: { motor: number; harness: number };
  /** Chance that the ripples of a turn are uneven, where it makes them so. */
  unevenRipple?: number;
}

/** Id of the hypothesis that nothing is wrong. */
export const HEALTHY = 'healthy';
/** A run comes here because some check did not pass, yet most units are good; weights are common practice, no source. */
const HEALTHY_PRIOR = 3;
/** Chance that a circuit without a loose contact shows a dropout all the same. */
const STRAY_DROPOUT = 0.01;
const steady = { motor: STRAY_DROPOUT, harness: STRAY_DROPOUT };

type Motor = UnitCircuitInput['motor'];
const withMotor =
  (edit: (motor: Motor) => Partial<Motor>) =>
  (good: UnitCircuitInput): UnitCircuitInput => ({ ...good, motor: { ...good.motor, ...edit(good.motor) } });
const friction = (factor: number) =>
  withMotor((motor) => ({
    coulombNm: motor.coulombNm * factor,
    viscousNms: motor.viscousNms * Math.sqrt(factor),
  }));
const brushes = (part: number) => withMotor((motor) => ({ resistanceOhm: motor.resistanceOhm * (1 + part) }));

/**
 * Conditions of the motor itself, from slight to strong; how each shows is in the published and derived signatures of
 * small PM motors. Where the style lists the same id, its words stand and these ways are added to its own.
 */
function motorConditions(motorId: string): Hypothesis[] {
  return [
    {
      id: `${motorId}-brushes-worn`,
      sentence:
        "The motor's brushes are worn or their springs weak: it starts weaker, and its current may drop out while both leads keep their voltage.",
      nextProbe:
        'Tap the motor while it runs and watch the current; then look at brush length and commutator.',
      prior: 1,
      variants: [brushes(0.12), brushes(0.3), brushes(0.6), brushes(1.2)],
      dropouts: { motor: 0.6, harness: STRAY_DROPOUT },
    },
    {
      id: `${motorId}-gearbox-bound`,
      sentence:
        'The motor turns hard: gearbox or regulator bound, dry or bent, or a tight bearing. It gets its voltage and draws too much.',
      nextProbe: 'Take the motor off its gearbox and repeat: normal current then clears the motor.',
      prior: 1,
      variants: [friction(1.5), friction(1.9), friction(2.5), friction(3.5)],
      dropouts: steady,
    },
    {
      id: `${motorId}-rotor-locked`,
      sentence: 'The rotor does not turn: the current stays where it starts, with full voltage at the motor.',
      nextProbe: 'Free the mechanism by hand, or take the gearbox off, and repeat with a short throw.',
      prior: 0.7,
      variants: [(good) => ({ ...good, rotorHeld: true })],
      dropouts: steady,
    },
    {
      id: `${motorId}-magnets-weak`,
      sentence:
        'The magnets are weak or one has come loose: normal start, but more current for the same work and a faster shaft.',
      nextProbe:
        'Let the motor cool and repeat; a hot motor looks the same. Then look for a loose or cracked magnet.',
      prior: 0.5,
      variants: [0.82, 0.68, 0.55].map((part) =>
        withMotor((motor) => ({
          backEmfVsPerRad: motor.backEmfVsPerRad * part,
          torqueNmPerA: motor.torqueNmPerA * part,
        })),
      ),
      dropouts: steady,
    },
    {
      id: `${motorId}-turns-light`,
      sentence: 'The motor turns too lightly: a stripped gear, a broken cord or an uncoupled drive.',
      nextProbe: 'Watch the output while the motor runs: it whirs and nothing moves.',
      prior: 0.6,
      variants: [friction(0.5), friction(0.25)],
      dropouts: steady,
    },
    {
      id: `${motorId}-winding-shorted`,
      sentence: 'Turns in the armature are shorted: it starts with more current than it should.',
      nextProbe: 'Measure lead to lead at several shaft angles with a small current and look for dips.',
      prior: 0.5,
      variants: [0.7, 0.5, 0.25].map((part) =>
        withMotor((motor) => ({
          resistanceOhm: motor.resistanceOhm * part,
          inductanceH: motor.inductanceH * part,
          coulombNm: motor.coulombNm * 1.4,
        })),
      ),
      dropouts: steady,
    },
    {
      id: `${motorId}-shorted`,
      sentence: 'The motor is a dead short between its leads.',
      nextProbe: 'Unplug the motor and repeat; without it the short must be gone. Then measure lead to lead.',
      prior: 0.5,
      variants: [
        withMotor((motor) => ({
          resistanceOhm: motor.resistanceOhm * 0.03,
          inductanceH: motor.inductanceH * 0.05,
          coulombNm: 1e3,
        })),
      ],
      dropouts: steady,
    },
    {
      id: `${motorId}-wound-for-other-voltage`,
      sentence: 'The motor is wound for another voltage.',
      nextProbe: 'Read the label; measure lead to lead: a 24 V motor has about four times the resistance.',
      prior: 0.3,
      variants: [4, 0.25].map((part) =>
        withMotor((motor) => ({
          resistanceOhm: motor.resistanceOhm * part,
          inductanceH: motor.inductanceH * part,
          backEmfVsPerRad: motor.backEmfVsPerRad * Math.sqrt(part),
          torqueNmPerA: motor.torqueNmPerA * Math.sqrt(part),
        })),
      ),
      dropouts: steady,
    },
    {
      id: `${motorId}-open`,
      sentence:
        "The motor is open: both leads have their voltage and no current flows. Brush, winding, protector or the motor's plug.",
      nextProbe:
        'Turn the shaft a little and repeat, wait two minutes for a tripped protector, then measure lead to lead at the plug.',
      prior: 1,
      variants: [withMotor(() => ({ resistanceOhm: 1e6, coulombNm: 1e3 }))],
      dropouts: steady,
    },
    {
      id: 'joint-loose',
      sentence: 'A joint in the harness is loose: current and lead voltage drop out together.',
      nextProbe: 'Move plugs and wires one after the other while it runs and watch the lead voltages.',
      prior: 0.7,
      variants: [(good) => good],
      dropouts: { motor: STRAY_DROPOUT, harness: 0.9 },
    },
  ];
}

/** What hands meet oftenest, by the end of the id; of faults that read the same it is named first (common practice, no source). */
const COMMON: readonly (readonly [RegExp, number])[] = [
  [/-coil-open$/, 3],
  [/-87-87a-exchanged$/, 2],
  [/^motor-leads-exchanged$/, 2],
  [/^jumper-[a-z0-9-]+-missing$/, 2],
  [/^(?:ground|feed)-(?:resistance|open)$/, 2],
  [/-(?:four-pin|make-burnt|break-burnt)$/, 1.5],
];

const commonness = (id: string): number => COMMON.find(([pattern]) => pattern.test(id))?.[1] ?? 1;

/** Of the pull-in voltage: a cold 24 V relay that just answers to a 12 V supply, as many do (tolerance of pull-in, common practice, no source). */
const JUST_PULLS_IN = 0.75;

/** A relay for twice the voltage may pull in all the same: then only its coil current, by its resistance, shows it. */
function pullingIn(faultId: string): Hypothesis['variants'] {
  const relayId = /^(.+)-coil-24v$/.exec(faultId)?.[1];
  if (relayId === undefined) return [];
  return [
    (good) => {
      const relay = good.relays?.[relayId] ?? good.relay;
      if (!relay) return { ...good, faults: [faultId] };
      const eager = { ...relay, pullInVoltageV: relay.pullInVoltageV * JUST_PULLS_IN };
      return { ...good, faults: [faultId], relays: { ...good.relays, [relayId]: eager } };
    },
  ];
}

/** Seen only where the profile tells segments: on the bad stretch, off it when the motor starts, and hardly at all. */
function segmentCondition(motorId: string): Hypothesis {
  const fault = { kind: 'open', resistanceFactor: 2, widthTurns: 0.5 } as const;
  return {
    id: `${motorId}-segment-bad`,
    sentence:
      'A segment or coil of the armature is open, burnt or shorted to its neighbour: the same ripple is wrong at every turn.',
    nextProbe:
      'Measure lead to lead with a small current while you turn the shaft slowly: one place of the turn reads off. Then look for a burnt segment.',
    prior: 0.5,
    variants: [
      (good) => good,
      (good) => ({ ...good, segmentFault: fault, startAngleRad: Math.PI }),
      (good) => ({ ...good, segmentFault: fault, startAngleRad: 0 }),
    ],
    dropouts: steady,
    unevenRipple: 0.95,
  };
}

/** Everything that may be the matter with a unit of this profile, the good unit first. */
export function hypothesesOf(unit: ResolvedUnit): Hypothesis[] {
  const styleFaults = [...faultsOfUnit(unit), ...rigFaultsOf(unit.style)].map(
    (fault): Hypothesis => ({
      id: fault.id,
      sentence: fault.sentence,
      nextProbe: fault.nextProbe,
      prior: commonness(fault.id),
      ...(fault.group === undefined ? {} : { group: fault.group }),
      variants: [(good) => ({ ...good, faults: [fault.id] }), ...pullingIn(fault.id)],
      dropouts: steady,
    }),
  );
  // Only what is being judged can be the matter: a motor alone has no harness, a harness on a known load no motor.
  const motorId = motorOf(unit.style).id;
  const conditions = [
    ...motorConditions(motorId),
    ...(unit.motor.ripple && unit.unit.subject !== 'harness' ? [segmentCondition(motorId)] : []),
  ].filter(({ id }) =>
    id === 'joint-loose' ? unit.unit.subject !== 'motor' : unit.unit.subject !== 'harness',
  );
  const merged = styleFaults.map((fault): Hypothesis => {
    const same = conditions.find(({ id }) => id === fault.id);
    return same
      ? {
          ...same,
          ...fault,
          prior: same.prior,
          variants: [...fault.variants, ...same.variants],
          dropouts: same.dropouts,
        }
      : fault;
  });
  const taken = new Set(styleFaults.map(({ id }) => id));
  const weighed = weighedForMotorAlone(unit, [...merged, ...conditions.filter(({ id }) => !taken.has(id))]);
  return [
    {
      id: HEALTHY,
      sentence: 'Nothing in the readings points to a fault.',
      nextProbe: 'Repeat the run; if it reads the same, the limits of the profile are the matter.',
      prior: HEALTHY_PRIOR,
      variants: [(good) => good],
      dropouts: steady,
    },
    ...weighed,
  ];
}
