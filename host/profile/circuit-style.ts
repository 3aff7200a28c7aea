// Shape of profiles/circuits/*.yaml: how switch, relays and motor are joined, and what that promises at the leads.
// A style holds structure and words; numbers come from the motor, relay, rig and unit profiles.

import * as z from 'zod';
import { CHANNEL, CHANNELS, perChannel } from '../capture/index.js';
import { PROTECTOR } from './protector.js';
import { RANGE, within, words } from './ranges.js';

const id = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use lower-case words joined by hyphens, such as jumper-a1-b2');
const node = z
  .string()
  .regex(
    /^(rig\.)?[a-z0-9]+(-[a-z0-9]+)*$/,
    'use lower-case words joined by hyphens, such as k1-30 or rig.feed',
  );

/** Screw terminals and inner points of the rig that a style may join to; `rig.ground` is the reference of all voltages. */
export const RIG_NODES = [
  'rig.feed',
  'rig.ground',
  'rig.coil-feed',
  'rig.trigger-forward',
  'rig.trigger-reverse',
  'rig.lead-a',
  'rig.lead-b',
  ...CHANNELS.flatMap((channel) => ('voltage' in CHANNEL[channel].at ? [CHANNEL[channel].at.voltage] : [])),
];

/** Rig elements that a position may set (contacts) or a channel may be read from (shunts). */
export const RIG_CONTACTS = ['rig.throw-forward', 'rig.throw-reverse'] as const;
export const RIG_SHUNTS = CHANNELS.flatMap((channel) =>
  'current' in CHANNEL[channel].at ? [CHANNEL[channel].at.current] : [],
);

const named = {
  id,
  /** What a person calls it, without article: `wire from 87a of K1 to ground joint`. */
  title: words().optional(),
  /** Part of the rig, wired up for this style: no fault of the unit. */
  rigOwn: z.literal(true).optional(),
  /** What of the unit this part of the rig stands in for, in words; written when a unit is resolved (stand-in.ts). */
  inPlaceOf: words().optional(),
};
/** What the rig's own part is called, without article, where its stand-in takes the place of the harness's switch. */
const standIn = words().optional();

const wire = z.strictObject({
  ...named,
  kind: z.literal('wire'),
  a: node,
  b: node,
  /** Own length; without it the wire is as long as the unit profile's wiring. */
  lengthM: RANGE.lengthM().optional(),
  areaMm2: RANGE.areaMm2().optional(),
  /** AWG size instead of areaMm2. */
  awg: RANGE.awg().optional(),
  /** A jumper joins two terminals of one switch; a lead goes to the motor; a trigger operates a coil. */
  role: z.enum(['wire', 'jumper', 'feed', 'ground', 'lead', 'trigger', 'coil-feed']).default('wire'),
  standIn,
});
const resistor = z.strictObject({
  ...named,
  kind: z.literal('resistor'),
  a: node,
  b: node,
  resistanceOhm: RANGE.ohm(),
});
const capacitor = z.strictObject({
  ...named,
  kind: z.literal('capacitor'),
  a: node,
  b: node,
  capacitanceF: RANGE.farad(),
});
const diode = z.strictObject({
  ...named,
  kind: z.literal('diode'),
  anode: node,
  cathode: node,
  /** Silicon rectifier at a few ampere. Common practice, no source. */
  forwardVoltageV: RANGE.diodeV().default(0.8),
  onResistanceOhm: RANGE.diodeOhm().default(0.02),
});
const clamp = z.strictObject({
  ...named,
  kind: z.literal('clamp'),
  anode: node,
  cathode: node,
  forwardVoltageV: within(0.1, 400, 'V', 'a suppressor, or an arc that burns at some 18 V'),
  clampVoltageV: RANGE.clampV(),
  onResistanceOhm: RANGE.diodeOhm().default(0.1),
});
const fuse = z.strictObject({
  ...named,
  kind: z.literal('fuse'),
  a: node,
  b: node,
  ratedA: RANGE.fuseA(),
  resistanceOhm: RANGE.contactOhm(),
});
const protector = z.strictObject({
  ...named,
  kind: z.literal('protector'),
  a: node,
  b: node,
  ...PROTECTOR,
});
/** A contact that the motor's own travel opens: a limit switch. Shaft angle in radians from the start. */
const limit = z.strictObject({
  ...named,
  kind: z.literal('limit'),
  a: node,
  b: node,
  motor: id,
  opensAboveRad: RANGE.angleRad().optional(),
  opensBelowRad: RANGE.angleRad().optional(),
  contactResistanceOhm: RANGE.contactOhm().default(0.005),
});
/** Poles that move together. Delays, transfer and bounce are common practice for a power relay, no source. */
const styleSwitch = z.strictObject({
  ...named,
  kind: z.literal('switch'),
  /** Position before anything is thrown. */
  position: z.string().default('rest'),
  poles: z.array(z.strictObject({ id, common: node, throws: z.record(z.string(), node) })).min(1),
  contactResistanceOhm: RANGE.contactOhm().default(0.005),
  transferS: within(0, 0.1, 's', 'a switch takes some milliseconds between its contacts').default(0.004),
  delayS: within(0, 0.1, 's', 'a switch answers within some milliseconds').default(0.003),
  bounceS: z.array(RANGE.contactS()).optional(),
  standIn,
});
const relay = z.strictObject({
  ...named,
  kind: z.literal('relay'),
  /** As marked on the relay's body, DIN 72552 numbers. */
  terminals: z.strictObject({
    '30': node,
    '85': node,
    '86': node,
    '87': node.optional(),
    '87a': node.optional(),
  }),
});
/** A second supply that a person turns up and down by hand: volts over seconds from the moment it is asked for. */
const adjustable = z.strictObject({
  ...named,
  kind: z.literal('adjustable-supply'),
  a: node,
  b: node,
  sourceResistanceOhm: RANGE.sourceOhm().default(0.1),
  turn: z
    .array(
      z.tuple([
        within(0, 3600, 's', 'from the moment it is asked for'),
        within(-60, 60, 'V', 'what a bench supply can be turned to'),
      ]),
    )
    .min(2),
});
const motor = z.strictObject({
  ...named,
  kind: z.literal('motor'),
  a: node,
  b: node,
  endStopsRad: z.strictObject({ minimum: RANGE.angleRad(), maximum: RANGE.angleRad() }).optional(),
});

const styleElement = z.discriminatedUnion('kind', [
  wire,
  resistor,
  capacitor,
  diode,
  clamp,
  fuse,
  protector,
  limit,
  styleSwitch,
  relay,
  adjustable,
  motor,
]);
export type StyleElement = z.infer<typeof styleElement>;

/** Element id to the state it is put in: a switch's position, or `open` / `closed` for a contact. */
const controls = z.record(z.string(), z.string());
const threePositions = z.strictObject({ rest: controls, forward: controls, reverse: controls });

const sensed = z.union([
  z.strictObject({ voltage: node, against: node.optional() }),
  z.strictObject({ current: z.string() }),
]);

/** What a throw does to the motor: lead A positive, lead A negative, or nothing because the style has no such throw. */
const polarity = z.enum(['positive', 'negative', 'none']);

/** The shape alone; style-rules.ts holds what its parts owe each other. */
export const styleShape = z.strictObject({
  id,
  title: words(),
  kind: z.literal('circuit'),
  /** A style without any harness says here what is judged, for every unit that names it. */
  subject: z.enum(['motor', 'relay']).optional(),
  /** Two or three sentences for a person who has not met this style. */
  summary: words(600),
  /** How to join the unit to the rig, a line each; `{lead-a}` behind the words for a wire takes its colour (hook-up.ts). */
  hookUp: z.array(words(240)).min(1),
  /** The same where a person throws the harness's own switch, as far as it differs. */
  hookUpByHand: z.array(words(240)).min(1).optional(),
  /** What holds both motor leads when nothing is thrown. */
  restState: z.enum(['open', 'grounded', 'high']),
  /** What a running motor does when released. */
  release: z.enum(['coast', 'brake']),
  /** Where the rig throws: whether its switch stand-in carries the motor, or its transistors pull the trigger wires. */
  thrownBy: z.enum(['stand-in', 'trigger']),
  /** Plan that suits the style, where a unit names none of its own. */
  plan: id.optional(),
  /** What a trigger wire is pulled to. */
  triggerSide: z.enum(['ground', 'positive']).default('ground'),
  polarity: z.strictObject({ forward: polarity, reverse: polarity }),
  /** Which contact and lead carry the motor current back, in words, for each throw. */
  returnPath: z.strictObject({ forward: z.string(), reverse: z.string() }),
  /** Words for nodes that are no terminal of relay, switch or rig. */
  nodes: z.record(z.string(), z.string()).default({}),
  elements: z.array(styleElement).min(1),
  positions: threePositions,
  /** Further places a person may throw from, such as a second switch; the rig throws `positions`. */
  stations: z.record(id, z.strictObject({ title: words(), positions: threePositions })).default({}),
  /** What a person is asked to do between two steps of a plan, outputs off, and what that changes in the circuit. */
  asks: z.record(id, z.strictObject({ sentence: words(240), does: controls })).default({}),
  /** Where each channel is read; what is left out is read where the rig itself does, at its shunts and motor plug. */
  sense: z.strictObject(perChannel((channel) => sensed.default(CHANNEL[channel].at))).prefault({}),
});
export type CircuitStyle = z.infer<typeof styleShape>;

/** Terminals of an element of a style with the nodes that they are joined to; a switch's are called as their nodes. */
export function terminalsOf(element: StyleElement): [terminal: string, node: string][] {
  const of = (ends: Readonly<Record<string, string | undefined>>): [string, string][] =>
    Object.entries(ends).flatMap(([terminal, to]): [string, string][] =>
      to === undefined ? [] : [[terminal, to]],
    );
  switch (element.kind) {
    case 'relay':
      return of(element.terminals);
    case 'switch':
      return element.poles.flatMap(({ common, throws }) =>
        [common, ...new Set(Object.values(throws))].map((to): [string, string] => [to, to]),
      );
    case 'diode':
    case 'clamp':
      return of({ anode: element.anode, cathode: element.cathode });
    default:
      return of({ a: element.a, b: element.b });
  }
}

/** Nodes that an element of a style is joined to, in the order of its terminals. */
export const nodesOf = (element: StyleElement): string[] => terminalsOf(element).map(([, to]) => to);
