// Shapes of the YAML under profiles/: what a motor, relay, rig, plan, unit profile, virtual case and tray are.
// Units stand in the key names; numbers are SI. Unknown keys are refused so that a misspelling is found.

import { z } from 'zod';
import { CHANNELS, perChannel } from '../capture/index.js';
import { PROTECTOR } from './protector.js';

const id = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use lower-case words joined by hyphens, such as roof-vent-motor');
const positive = z.number().positive();
const nonNegative = z.number().nonnegative();

/** A number, or a nominal with its tolerance (half width, per cent, taken as normal with that as two sigma). */
const tolerancedOf = (value: z.ZodNumber) =>
  z.union([value, z.strictObject({ nominal: value, tolerancePercent: z.number().min(0).max(100) })]);
export const toleranced = tolerancedOf(z.number());
export type Toleranced = z.infer<typeof toleranced>;
const tolerancedPositive = tolerancedOf(positive);
const tolerancedNonNegative = tolerancedOf(nonNegative);

/** How far a limit can be trusted; shown with every check that uses it. */
export const origin = z.enum(['maker', 'learned', 'published', 'generic']);

/** What motors of one family do, from the least usual one to the most. */
const usualRange = z
  .strictObject({ least: positive, most: positive })
  .refine(({ least, most }) => least < most, { message: 'give the smaller figure as least' });

export const motorSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('motor'),
  nominalVoltageV: positive,
  origin,
  resistanceOhm: tolerancedPositive,
  inductanceH: tolerancedPositive,
  backEmfVsPerRad: tolerancedPositive,
  torqueNmPerA: tolerancedPositive,
  inertiaKgM2: tolerancedPositive,
  viscousNms: tolerancedNonNegative,
  coulombNm: tolerancedNonNegative,
  /** Friction in reverse over forward, where what it drives weighs more one way. */
  reverseFrictionRatio: tolerancedPositive.optional(),
  /** Usual motors of its family at about 13 V, after the start and held: what generic numbers are held to. */
  family: z.strictObject({ runningA: usualRange, heldA: usualRange }).optional(),
  /** Nobody has its numbers: it is graded by what can be told without them, and never passed. */
  sheet: z.literal('none').optional(),
  /** Of a motor without a sheet: what it may turn out to be like. */
  resembles: z
    .array(z.strictObject({ title: z.string(), runningA: usualRange, heldA: usualRange }))
    .optional(),
  brushDropV: nonNegative.default(0),
  brushKneeA: positive.default(0.2),
  /** Segments of its commutator, and how far they modulate back-EMF and torque either way, as a part. */
  ripple: z.strictObject({ segments: z.int().min(2), amplitude: z.number().min(0).max(0.5) }).optional(),
  suppressionCapacitorF: nonNegative.optional(),
  /** Longest run of one throw that the motor and its gearbox bear on the bench. */
  longestHoldS: positive.default(5),
  /** Its self-resetting protector, when a held rotor is to show it; published: opens in 4 to 40 s, some within 90 s. */
  protector: z.strictObject({ opensFromS: positive.default(4), opensToS: positive.default(90) }).optional(),
});
export type MotorProfile = z.infer<typeof motorSchema>;

export const relaySchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('relay'),
  nominalVoltageV: positive,
  origin,
  coilResistanceOhm: tolerancedPositive,
  coilInductanceH: tolerancedPositive,
  closedInductanceRatio: positive.default(1.4),
  pullInVoltageV: tolerancedPositive,
  dropOutVoltageV: tolerancedPositive,
  operateS: tolerancedPositive,
  releaseS: tolerancedPositive,
  transferS: positive.default(0.0008),
  makeResistanceOhm: tolerancedPositive,
  breakResistanceOhm: tolerancedPositive,
  suppression: z
    .discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('none') }),
      z.strictObject({ kind: z.literal('resistor'), resistanceOhm: positive }),
      z.strictObject({
        kind: z.literal('diode'),
        anodeAt: z.enum(['85', '86']).default('85'),
        forwardVoltageV: positive.default(0.7),
      }),
    ])
    .default({ kind: 'none' }),
  /** Limits for this part number, where they differ from the published ones of its class; trusted as far as `origin`. */
  limits: z
    .strictObject({
      coilResistanceOhm: z.strictObject({ least: positive, most: positive }).optional(),
      operateMostS: positive.optional(),
      releaseMostS: positive.optional(),
      bounceMostS: positive.optional(),
      transferGapLeastS: positive.optional(),
      pullInMostV: positive.optional(),
      dropOutLeastV: positive.optional(),
      contactDropAt10AMostV: positive.optional(),
    })
    .optional(),
});
export type RelayProfile = z.infer<typeof relaySchema>;

/** A known load in place of the motor: a power resistor or a lamp whose hot resistance is known. */
export const loadSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('load'),
  nominalVoltageV: positive,
  origin,
  /** Of the load with its leads, as hot as a throw makes it. */
  resistanceOhm: tolerancedPositive,
  /** What it bears without end; in a throw it may take more, for `longestHoldS` at the most. */
  ratedPowerW: positive,
  longestHoldS: positive.default(2),
});
export type LoadProfile = z.infer<typeof loadSchema>;

const channelScale = z.strictObject({
  /** Reading at count 0 and the step of one count. */
  atZeroCount: z.number(),
  perCount: z.number(),
  /** Standard uncertainty of gain (per cent) and offset (in the channel's unit) after calibration. */
  gainUncertaintyPercent: nonNegative,
  offsetUncertainty: nonNegative,
});

const doubtedChannel = z.strictObject({
  channel: z.enum(CHANNELS),
  sentence: z.string(),
});
/** A channel that a known-load check of the day found wrong, and what is said of it. */
export type DoubtedChannel = z.infer<typeof doubtedChannel>;

export const rigSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('rig'),
  scales: z.strictObject(perChannel(() => channelScale)),
  adcBits: z.int(),
  /** Standard uncertainty of the clock that samples are timed by, per cent. */
  clockUncertaintyPercent: nonNegative.optional(),
  supply: z.strictObject({
    voltageV: tolerancedPositive,
    sourceResistanceOhm: positive,
    currentLimitA: positive.optional(),
  }),
  feedShuntOhm: positive,
  motorShuntOhm: positive,
  feedContactOhm: positive,
  limitedFeedOhm: positive,
  leadLoadOhm: positive,
  leadClampV: positive,
  deadTimeS: positive,
  longestHoldS: positive,
  /** Of the day of a run, and kept with it; a profile has none. */
  doubted: z.array(doubtedChannel).optional(),
  trip: z.strictObject({ motorCurrentA: positive, feedCurrentA: positive, samples: z.int().min(1).max(255) }),
});
export type RigProfile = z.infer<typeof rigSchema>;

export const planStep = z.strictObject({
  position: z.enum(['rest', 'forward', 'reverse']),
  durationS: positive,
  feed: z.enum(['off', 'limited', 'full']).default('full'),
  /** What the person at the bench is asked to do before this step, outputs off: an id among the circuit's `asks`. */
  ask: id.optional(),
  /** The output is blocked while this throw meets the full feed. */
  heldRotor: z.boolean().optional(),
  /** Held on until the motor's protector opens, where its profile tells of one and motor and rig bear so long a hold. */
  untilProtectorOpens: z.boolean().optional(),
});
export const planSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('plan'),
  /**
   * Its hold for a protector goes on as long as the board allows, beyond what rig and motors bear otherwise: of a motor
   * alone, over the rig's own links, whose profile tells of a protector.
   */
  longHold: z.literal(true).optional(),
  /** Who throws: the rig, or a person on the harness's own switch, asked and awaited. Default: the rig. */
  throwBy: z.enum(['rig', 'operator']).optional(),
  steps: z.array(planStep).min(1),
});
export type Plan = z.infer<typeof planSchema>;

/** What is being judged; whatever else is on the bench is the rig's, or known to be good. */
export const SUBJECTS = ['harness-with-motor', 'motor', 'harness', 'relay'] as const;

/** What a complete unit on the bench should be: the `--profile` of every command. */
export const unitProfileSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('unit'),
  /** Ids of files under profiles/circuits, motors, loads, relays, rigs, plans. */
  circuit: id,
  /** One of the two hangs on the leads: a motor, or a known load in its place. */
  motor: id.optional(),
  load: id.optional(),
  relay: id.optional(),
  subject: z.enum(SUBJECTS).default('harness-with-motor'),
  rig: id.default('reference-rig'),
  /** Default: what the circuit style asks for, else `throw-both-ways`. */
  plan: id.optional(),
  /** Stands over the plan's own. */
  throwBy: z.enum(['rig', 'operator']).optional(),
  /** What the ends of the harness's switch are called, for whoever throws it by hand. */
  switchNames: z
    .strictObject({ forward: z.string().min(1).max(24), reverse: z.string().min(1).max(24) })
    .optional(),
  /** Wiring between the rig's terminals and the unit; values a style's wires may refer to. */
  wiring: z
    .strictObject({ lengthM: positive, areaMm2: positive.optional(), awg: z.number().optional() })
    .refine(({ areaMm2, awg }) => (areaMm2 === undefined) !== (awg === undefined), {
      message: 'give the size once, as areaMm2 or as awg',
    })
    .default({ lengthM: 1.5, areaMm2: 1.5 }),
  /** Whether the motor sits on what it moves, which may weigh more one way. Default: unless it is judged alone. */
  onMechanism: z.boolean().optional(),
  /** Whether what it moves comes to an end where the motor is held. Unknown where it is not said. */
  endsOfTravel: z.boolean().optional(),
  /** Ambient of the bench with its half width; an unheated workshop over the year where nobody tells. */
  temperatureC: z
    .strictObject({ nominal: z.number(), plusMinus: nonNegative })
    .default({ nominal: 20, plusMinus: 20 }),
  rules: z
    .strictObject({
      /** Whether a conditional pass counts as a pass. */
      conditionalPassCounts: z.boolean().default(true),
      /** Draws for the expected band. */
      draws: z.int().min(20).max(2000).default(80),
    })
    .default({ conditionalPassCounts: true, draws: 80 }),
});
export type UnitProfile = z.infer<typeof unitProfileSchema>;

/** What the virtual bench really has on it; judging never sees this. */
export const caseSchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('case'),
  seed: z.int(),
  /** Fault ids of the profile's circuit style. */
  faults: z.array(id).default([]),
  /** Multipliers on the motor's true parameters, keyed by the motor schema's names. */
  motorScale: z.record(z.string(), positive).default({}),
  /** Worn brushes: extra resistance in ohms, with random dropouts a second of the given length. */
  wornBrushes: z
    .strictObject({ extraResistanceOhm: nonNegative, dropoutsPerS: nonNegative, dropoutS: positive })
    .optional(),
  /** A bad stretch of the commutator, once a turn: factor on the armature's resistance while the brushes are on it. */
  segmentFault: z
    .strictObject({
      kind: z.enum(['open', 'shorted']),
      resistanceFactor: positive,
      widthTurns: positive.max(0.9),
    })
    .optional(),
  /** Self-resetting protector in the motor. */
  protector: z.strictObject(PROTECTOR).optional(),
  supply: z
    .strictObject({
      voltageV: positive.optional(),
      sourceResistanceOhm: positive.optional(),
      currentLimitA: positive.optional(),
    })
    .default({}),
  temperatureC: z.number().default(22),
  /** The person who throws the switch of this bench, where the plan has it thrown by hand. */
  hand: z
    .strictObject({
      /** From being asked to doing it. */
      delayS: z.tuple([positive, positive]).default([0.3, 2]),
      /** Takes each side of the switch for the other one. */
      takesReverseForForward: z.boolean().default(false),
      /** What goes wrong, by the how manieth time a throw is asked for. */
      mistakes: z
        .array(
          z.strictObject({
            ask: z.int().min(1),
            does: z.enum(['other-way', 'nothing', 'too-short', 'holds-on']),
          }),
        )
        .default([]),
    })
    .optional(),
});
export type VirtualCase = z.infer<typeof caseSchema>;

export const traySchema = z.strictObject({
  id,
  title: z.string(),
  kind: z.literal('tray'),
  units: z
    .array(
      z.strictObject({
        tag: z.string().min(1).max(24),
        profile: id,
        virtual: id.optional(),
        note: z.string().optional(),
      }),
    )
    .min(1),
});
export type Tray = z.infer<typeof traySchema>;
