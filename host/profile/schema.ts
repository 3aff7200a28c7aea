// Shapes of the YAML under profiles/: what a motor, relay, rig, plan, unit profile, virtual case and tray are.
// Units stand in the key names; numbers are SI. Unknown keys are refused so that a misspelling is found.

import * as z from 'zod';
import { BOARD } from '../../firmware-protocol/index.js';
import { CHANNELS, perChannel } from '../capture/index.js';
import { PROTECTOR } from './protector.js';
import { RANGE, within, words } from './ranges.js';
import { wireColour } from './wire-colours.js';

export const id = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use lower-case words joined by hyphens, such as roof-vent-motor');

/** A number, or a nominal with its tolerance (half width, per cent, taken as normal with that as two sigma). */
const tolerancedOf = (value: z.ZodNumber) =>
  z.union([value, z.strictObject({ nominal: value, tolerancePercent: RANGE.tolerancePercent() })]);
export const toleranced = tolerancedOf(z.number());
export type Toleranced = z.infer<typeof toleranced>;

/** How far a limit can be trusted; shown with every check that uses it. */
export const origin = z.enum(['maker', 'learned', 'published', 'generic']);

/** What motors of one family do, from the least usual one to the most. */
const usualRange = z
  .strictObject({ least: RANGE.motorA(), most: RANGE.motorA() })
  .refine(({ least, most }) => least < most, { message: 'give the smaller figure as least' });

export const motorSchema = z.strictObject({
  id,
  title: words(),
  kind: z.literal('motor'),
  nominalVoltageV: RANGE.systemV(),
  origin,
  resistanceOhm: tolerancedOf(RANGE.armatureOhm()),
  inductanceH: tolerancedOf(RANGE.armatureH()),
  backEmfVsPerRad: tolerancedOf(RANGE.backEmf()),
  torqueNmPerA: tolerancedOf(RANGE.torque()),
  inertiaKgM2: tolerancedOf(RANGE.inertia()),
  viscousNms: tolerancedOf(RANGE.viscous()),
  coulombNm: tolerancedOf(RANGE.coulomb()),
  /** Friction in reverse over forward, where what it drives weighs more one way. */
  reverseFrictionRatio: tolerancedOf(RANGE.frictionRatio()).optional(),
  /** Usual motors of its family at about 13 V, after the start and held: what generic numbers are held to. */
  family: z.strictObject({ runningA: usualRange, heldA: usualRange }).optional(),
  /** Nobody has its numbers: it is graded by what can be told without them, and never passed. */
  sheet: z.literal('none').optional(),
  /** Of a motor without a sheet: what it may turn out to be like. */
  resembles: z.array(z.strictObject({ title: words(), runningA: usualRange, heldA: usualRange })).optional(),
  brushDropV: RANGE.brushDropV().default(0),
  brushKneeA: RANGE.kneeA().default(0.2),
  /** Segments of its commutator, and how far they modulate back-EMF and torque either way, as a part. */
  ripple: z.strictObject({ segments: z.int().min(2), amplitude: z.number().min(0).max(0.5) }).optional(),
  suppressionCapacitorF: RANGE.suppressionF().optional(),
  /** Longest run of one throw that the motor and its gearbox bear on the bench. */
  longestHoldS: RANGE.holdS().default(5),
  /** Its self-resetting protector, when a held rotor is to show it; published: opens in 4 to 40 s, some within 90 s. */
  protector: z
    .strictObject({ opensFromS: RANGE.protectorS().default(4), opensToS: RANGE.protectorS().default(90) })
    .optional(),
});
export type MotorProfile = z.infer<typeof motorSchema>;
/** What a case may put a factor on. */
export const MOTOR_NUMBERS = [
  'resistanceOhm',
  'inductanceH',
  'backEmfVsPerRad',
  'torqueNmPerA',
  'inertiaKgM2',
  'viscousNms',
  'coulombNm',
  'reverseFrictionRatio',
  'brushDropV',
  'brushKneeA',
] as const satisfies readonly (keyof MotorProfile)[];

export const relaySchema = z.strictObject({
  id,
  title: words(),
  kind: z.literal('relay'),
  nominalVoltageV: RANGE.systemV(),
  origin,
  coilResistanceOhm: tolerancedOf(RANGE.coilOhm()),
  coilInductanceH: tolerancedOf(RANGE.coilH()),
  closedInductanceRatio: RANGE.inductanceRatio().default(1.4),
  pullInVoltageV: tolerancedOf(RANGE.coilV()),
  dropOutVoltageV: tolerancedOf(RANGE.coilV()),
  operateS: tolerancedOf(RANGE.operateS()),
  releaseS: tolerancedOf(RANGE.operateS()),
  transferS: RANGE.contactS().default(0.0008),
  makeResistanceOhm: tolerancedOf(RANGE.contactOhm()),
  breakResistanceOhm: tolerancedOf(RANGE.contactOhm()),
  suppression: z
    .discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('none') }),
      z.strictObject({ kind: z.literal('resistor'), resistanceOhm: RANGE.suppressionOhm() }),
      z.strictObject({
        kind: z.literal('diode'),
        anodeAt: z.enum(['85', '86']).default('85'),
        forwardVoltageV: RANGE.diodeV().default(0.7),
      }),
    ])
    .default({ kind: 'none' }),
  /** Limits for this part number, where they differ from the published ones of its class; trusted as far as `origin`. */
  limits: z
    .strictObject({
      coilResistanceOhm: z.strictObject({ least: RANGE.coilOhm(), most: RANGE.coilOhm() }).optional(),
      operateMostS: RANGE.operateS().optional(),
      releaseMostS: RANGE.operateS().optional(),
      bounceMostS: RANGE.contactS().optional(),
      transferGapLeastS: RANGE.contactS().optional(),
      pullInMostV: RANGE.coilV().optional(),
      dropOutLeastV: RANGE.coilV().optional(),
      contactDropAt10AMostV: RANGE.dropV().optional(),
    })
    .optional(),
});
export type RelayProfile = z.infer<typeof relaySchema>;

/** A known load in place of the motor: a power resistor or a lamp whose hot resistance is known. */
export const loadSchema = z.strictObject({
  id,
  title: words(),
  kind: z.literal('load'),
  nominalVoltageV: RANGE.systemV(),
  origin,
  /** Of the load with its leads, as hot as a throw makes it. */
  resistanceOhm: tolerancedOf(RANGE.loadOhm()),
  /** What it bears without end; in a throw it may take more, for `longestHoldS` at the most. */
  ratedPowerW: RANGE.powerW(),
  longestHoldS: RANGE.holdS().default(2),
});
export type LoadProfile = z.infer<typeof loadSchema>;

const channelScale = z.strictObject({
  /** Reading at count 0 and the step of one count. */
  atZeroCount: RANGE.atZeroCount(),
  perCount: RANGE.perCount(),
  /** Standard uncertainty of gain (per cent) and offset (in the channel's unit) after calibration. */
  gainUncertaintyPercent: RANGE.uncertaintyPercent(),
  offsetUncertainty: RANGE.uncertainty(),
});

/** Channels that a rig may read by a finer amplifier too. */
const FINE_CHANNELS = ['motorCurrentA'] as const;
export type FineChannel = (typeof FINE_CHANNELS)[number];

const doubtedChannel = z.strictObject({
  channel: z.enum(CHANNELS),
  sentence: z.string(),
});
/** A channel that a known-load check of the day found wrong, and what is said of it. */
export type DoubtedChannel = z.infer<typeof doubtedChannel>;

export const rigSchema = z.strictObject({
  id,
  title: words(),
  kind: z.literal('rig'),
  scales: z.strictObject(perChannel(() => channelScale)),
  /** Of a second amplifier that reads the same finely, over a small part of the range; a rig may lack it. */
  fineScales: z.strictObject({ motorCurrentA: channelScale }).optional(),
  /** Channels that a run read by it; kept with the run, a profile has none. */
  readFinely: z.array(z.enum(FINE_CHANNELS)).optional(),
  adcBits: RANGE.adcBits(),
  /** Standard uncertainty of the clock that samples are timed by, per cent. */
  clockUncertaintyPercent: RANGE.uncertaintyPercent().optional(),
  supply: z.strictObject({
    voltageV: tolerancedOf(RANGE.systemV()),
    sourceResistanceOhm: RANGE.sourceOhm(),
    currentLimitA: RANGE.supplyA().optional(),
  }),
  feedShuntOhm: RANGE.shuntOhm(),
  motorShuntOhm: RANGE.shuntOhm(),
  feedContactOhm: RANGE.feedContactOhm(),
  limitedFeedOhm: RANGE.limitedOhm(),
  /** In the coils' feed until they were seen to draw what coils draw; absent where the rig has no such limiter. */
  limitedCoilFeedOhm: RANGE.limitedCoilOhm().optional(),
  leadLoadOhm: RANGE.leadLoadOhm(),
  leadClampV: RANGE.clampV(),
  deadTimeS: RANGE.deadTimeS(),
  longestHoldS: RANGE.holdS(),
  /** Of the day of a run, and kept with it; a profile has none. */
  doubted: z.array(doubtedChannel).optional(),
  /** Of the day too: this very rig has no calibration at all. Absent where it has, or no rig was there. */
  neverCalibrated: z.literal(true).optional(),
  /** Of the day too: parts of the rig, by their marks, that its self-test saw to work before the run; `clips` were pressed since the run before, which read the same. Absent where no rig was there. */
  proven: z.array(z.enum(['F4', 'clips'])).optional(),
  /** Samples in a row of one channel; each current is sampled once a millisecond at the least. */
  trip: z.strictObject({
    motorCurrentA: RANGE.tripA(),
    feedCurrentA: RANGE.tripA(),
    samples: z.int().min(1).max(BOARD.tripSamplesMax),
  }),
});
export type RigProfile = z.infer<typeof rigSchema>;

export const planStep = z.strictObject({
  position: z.enum(['rest', 'forward', 'reverse']),
  durationS: RANGE.stepS(),
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
  title: words(),
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
  title: words(),
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
  /** What the output does thrown forward, and thrown reverse: `up` and `down`. Held against what a person saw. */
  moves: z
    .strictObject({ forward: z.string().min(1).max(24), reverse: z.string().min(1).max(24) })
    .refine(({ forward, reverse }) => forward !== reverse, {
      message: 'forward and reverse move it the same way: write two ways',
    })
    .optional(),
  /** Limits that known good units have taught: a file of `throwbench learn`, its path as seen from this one. */
  learned: z.string().min(1).optional(),
  /** Wiring between the rig's terminals and the unit; values a style's wires may refer to. */
  wiring: z
    .strictObject({
      lengthM: RANGE.lengthM(),
      areaMm2: RANGE.areaMm2().optional(),
      awg: RANGE.awg().optional(),
    })
    .refine(({ areaMm2, awg }) => (areaMm2 === undefined) !== (awg === undefined), {
      message: 'give the size once, as areaMm2 or as awg',
    })
    .default({ lengthM: 1.5, areaMm2: 1.5 }),
  /** Of single wires, by their id in the circuit: colour by the letters of IEC 60757, and how each end is joined. */
  wires: z
    .record(
      id,
      z.strictObject({
        colour: wireColour.optional(),
        a: z.enum(['crimp', 'screw']).optional(),
        b: z.enum(['crimp', 'screw']).optional(),
      }),
    )
    .optional(),
  /** Whether the motor sits on what it moves, which may weigh more one way. Default: unless it is judged alone. */
  onMechanism: z.boolean().optional(),
  /** Whether what it moves comes to an end where the motor is held. Unknown where it is not said. */
  endsOfTravel: z.boolean().optional(),
  /** Of a drive with limit switches: from one end of its travel to the other, by a watch. */
  travelS: RANGE.travelS().optional(),
  /** Ambient of the bench with its half width; an unheated workshop over the year where nobody tells. */
  temperatureC: z
    .strictObject({ nominal: RANGE.ambientC(), plusMinus: RANGE.spreadC() })
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
  title: words(),
  kind: z.literal('case'),
  seed: z.int(),
  /** Fault ids of the profile's circuit style. */
  faults: z.array(id).default([]),
  /** Multipliers on the motor's true parameters, keyed by the motor schema's names. */
  motorScale: z
    .record(z.string(), RANGE.scale())
    .meta({ propertyNames: { enum: MOTOR_NUMBERS } })
    .default({}),
  /** Worn brushes: extra resistance in ohms, with random dropouts a second of the given length. */
  wornBrushes: z
    .strictObject({
      extraResistanceOhm: within(0, 1000, 'Ohm', 'what worn brushes add to the armature'),
      dropoutsPerS: RANGE.perSecond(),
      dropoutS: RANGE.waitS(),
    })
    .optional(),
  /** A bad stretch of the commutator, once a turn: factor on the armature's resistance while the brushes are on it. */
  segmentFault: z
    .strictObject({
      kind: z.enum(['open', 'shorted']),
      resistanceFactor: RANGE.scale(),
      widthTurns: within(0.001, 0.9, '', 'a part of a turn'),
    })
    .optional(),
  /** Where a drive with limit switches stands at first: 0 at its reverse limit, 1 at its forward one. */
  standsAt: within(0, 1, '', 'a part of the travel').optional(),
  /** The motor sits, or is wound, so that the output goes the other way; every reading is as it should be. */
  turnsOtherWay: z.boolean().optional(),
  /** Self-resetting protector in the motor. */
  protector: z.strictObject(PROTECTOR).optional(),
  supply: z
    .strictObject({
      voltageV: within(0.1, 60, 'V', 'a supply of a vehicle, or one that sags').optional(),
      sourceResistanceOhm: RANGE.sourceOhm().optional(),
      currentLimitA: RANGE.supplyA().optional(),
    })
    .default({}),
  temperatureC: RANGE.partC().default(22),
  /** Parts of the rig that are on although switched off: contacts that have welded, transistors that are shorted. */
  stuckOn: z.array(z.enum(['KL', 'Q1', 'KB', 'Q2', 'Q4', 'Q5'])).optional(),
  /** Parts of the rig that do nothing although driven: contacts that do not close, transistors that are open. */
  stuckOff: z.array(z.enum(['KL', 'Q1', 'KB', 'Q2', 'Q4', 'Q5'])).optional(),
  /** Fuses of the rig that have blown. */
  blownFuses: z.array(z.enum(['F1', 'F2', 'F3', 'F4'])).optional(),
  /** The person who throws the switch of this bench, where the plan has it thrown by hand. */
  hand: z
    .strictObject({
      /** From being asked to doing it. */
      delayS: z.tuple([RANGE.waitS(), RANGE.waitS()]).default([0.3, 2]),
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
  title: words(),
  kind: z.literal('tray'),
  units: z
    .array(
      z.strictObject({
        tag: z.string().min(1).max(24),
        profile: id,
        virtual: id.optional(),
        note: words(200).optional(),
      }),
    )
    .min(1),
});
export type Tray = z.infer<typeof traySchema>;
