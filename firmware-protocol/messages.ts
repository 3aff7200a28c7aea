// Every message of the rig protocol, declared once: the C header, the tables of PROTOCOL.md and the host's types come from here.

import { BOARD, SCAN_LETTERS } from './board-constants.js';

const LETTERS = Object.keys(SCAN_LETTERS).join('');

export const POSITIONS = ['rest', 'forward', 'reverse'] as const;
export const FEEDS = ['off', 'limited', 'full'] as const;
/** idle: nothing may be energised. armed: it may. stopped: a stop reason is latched; nothing until it is cleared. */
export const MODES = ['idle', 'armed', 'stopped'] as const;
export const LOOPS = ['closed', 'open'] as const;
/** Feed of the unit's relay coils: through its limiter, or straight. */
export const COILS = ['limited', 'full'] as const;
export const BUSES = ['dead', 'live'] as const;
export const SWITCH = ['off', 'on'] as const;

export const BURST_EDGES = ['now', 'throw', 'release'] as const;

/** Order is the number on the board; the first reason since the last `clear` is the one kept. */
export const STOP_REASONS = [
  { name: 'none', sentence: 'nothing has stopped the board' },
  { name: 'motor-over-current', sentence: 'motor current stayed at or above its trip limit' },
  { name: 'feed-over-current', sentence: 'feed current stayed at or above its trip limit' },
  { name: 'stop-input', sentence: 'the stop loop is open' },
  { name: 'host-silence', sentence: 'the host sent no valid line in time' },
  { name: 'longest-hold', sentence: 'a throw was held for its whole longest hold' },
  { name: 'watchdog', sentence: 'the firmware stalled and the hardware watchdog restarted it' },
  { name: 'host-request', sentence: 'the host asked for a stop' },
] as const;
export type StopName = (typeof STOP_REASONS)[number]['name'];

export const RESET_CAUSES = ['power-on', 'external', 'brown-out', 'watchdog', 'unknown'] as const;

/** A refused request changes nothing on the outputs. `detail` is a number whose meaning each row gives. */
export const REFUSALS = [
  {
    number: 10,
    name: 'line-too-long',
    detail: 'longest line in bytes',
    sentence: 'the line was longer than the board accepts',
  },
  { number: 11, name: 'malformed', detail: '0', sentence: 'the line is not a request of this protocol' },
  { number: 12, name: 'wrong-crc', detail: '0', sentence: 'the checksum of the line did not match' },
  { number: 20, name: 'unknown-verb', detail: '0', sentence: 'the board does not know this request' },
  {
    number: 21,
    name: 'argument-count',
    detail: 'arguments expected',
    sentence: 'the request has too few or too many arguments',
  },
  {
    number: 22,
    name: 'argument-value',
    detail: 'place of the argument, from 1',
    sentence: 'an argument is not one of the allowed words or numbers',
  },
  { number: 30, name: 'not-armed', detail: '0', sentence: 'the board is not armed' },
  {
    number: 31,
    name: 'stopped',
    detail: 'number of the stop reason',
    sentence: 'a stop is latched; clear it first',
  },
  { number: 32, name: 'stop-loop-open', detail: '0', sentence: 'the stop loop is open; close it first' },
  {
    number: 33,
    name: 'dead-time',
    detail: 'milliseconds left',
    sentence: 'the dead time after the last throw has not passed',
  },
  {
    number: 34,
    name: 'already-thrown',
    detail: '0',
    sentence: 'a position is thrown already; release it first',
  },
  { number: 35, name: 'not-idle', detail: '0', sentence: 'only possible while the board is idle' },
  { number: 36, name: 'streaming', detail: '0', sentence: 'not possible while the stream is on' },
  { number: 37, name: 'bursting', detail: '0', sentence: 'not possible while a burst is being taken' },
  { number: 38, name: 'no-burst', detail: '0', sentence: 'no finished burst is there to be read' },
  {
    number: 39,
    name: 'feed-live',
    detail: '0',
    sentence:
      'the feed is on although it is switched off: press the stop button; contact KL or KB of the rig has welded, its driver Q1 or Q2 is shorted, or the sense itself, Q4',
  },
] as const;
export type Refusal = (typeof REFUSALS)[number];

interface FieldBase {
  readonly name: string;
  readonly says: string;
  /** Of a reply's last fields: the firmware that first told them. An older board's answer ends before. */
  readonly since?: string;
}
export type Field = FieldBase &
  (
    | { readonly kind: 'word'; readonly words: readonly string[] }
    | { readonly kind: 'number'; readonly min: number; readonly max: number; readonly unit: string }
    | { readonly kind: 'text'; readonly pattern: string; readonly maxChars: number }
  );

export interface Message {
  readonly says: string;
  /** What must hold, in words; the numbers of the refusals say the rest. */
  readonly needs: string;
  readonly args: readonly Field[];
  /** Fields after `ok`. A later minor revision may append fields, never reorder them. */
  readonly reply: readonly Field[];
  /** Answered again, not carried out again, when the same line comes twice in a row. */
  readonly acts: boolean;
}

const U32 = 0xffffffff;
const counter = <const N extends string>(name: N, says: string) =>
  ({ name, kind: 'number', min: 0, max: U32, unit: '1', says }) as const;
const ms = <const N extends string>(name: N, min: number, max: number, says: string) =>
  ({ name, kind: 'number', min, max, unit: 'ms', says }) as const;
const word = <const N extends string, const W extends readonly string[]>(name: N, words: W, says: string) =>
  ({ name, kind: 'word', words, says }) as const;
const RIG_ID = {
  name: 'rigId',
  kind: 'text',
  pattern: '^[A-Za-z0-9._-]{1,16}$',
  maxChars: BOARD.rigIdMaxChars,
  says: 'name of this rig, kept in its EEPROM',
} as const;
const SCAN = {
  name: 'scan',
  kind: 'text',
  pattern: `^[${LETTERS}]{18}$`,
  maxChars: BOARD.slotCount,
  says: `one letter a slot in order of time: ${Object.entries(SCAN_LETTERS)
    .map(([letter, { short }]) => `${letter} ${short}`)
    .join(', ')}`,
} as const;
const STOP_WORDS = STOP_REASONS.map((reason) => reason.name) as unknown as readonly [StopName, ...StopName[]];
const tripFields = (motorMax: number, feedMax: number, samplesMax: number) =>
  [
    {
      name: 'motorCounts',
      kind: 'number',
      min: 1,
      max: motorMax,
      unit: 'counts',
      says: 'trips when the motor current is this far from count 512, either way',
    },
    {
      name: 'feedCounts',
      kind: 'number',
      min: 1,
      max: feedMax,
      unit: 'counts',
      says: 'trips when the feed current reads this count',
    },
    {
      name: 'samples',
      kind: 'number',
      min: 1,
      max: samplesMax,
      unit: '1',
      says: 'consecutive samples of one channel at or above the limit before it trips',
    },
  ] as const;
/** Nothing wider may be set. */
const TRIP_SET = tripFields(BOARD.tripMotorMaxCounts, BOARD.tripFeedMaxCounts, BOARD.tripSamplesMax);
/** Firmware 1.0 let a host set anything that a count can be, and tells it. */
const TRIP_TOLD = tripFields(511, 1023, 255);

export const REQUESTS = {
  hello: {
    says: 'who is there',
    needs: '',
    args: [],
    reply: [
      { name: 'protocol', kind: 'number', min: 1, max: 65535, unit: '1', says: 'protocol version' },
      { name: 'firmware', kind: 'text', pattern: '^[0-9.]+$', maxChars: 12, says: 'firmware version' },
      { name: 'model', kind: 'text', pattern: '^[a-z0-9-]+$', maxChars: 16, says: 'board model' },
      RIG_ID,
      word('resetCause', RESET_CAUSES, 'what started the board last'),
      {
        ...word('earlierStop', STOP_WORDS, 'what was latched when the board was restarted with its power on'),
        since: '1.1.0',
      },
      {
        name: 'hardware',
        kind: 'number',
        min: 1,
        max: 4,
        unit: '1',
        says: 'hardware revision by the straps on PB1 and PB2: 1 and what is joined to ground, PB1 counting 1, PB2 counting 2',
        since: '1.2.0',
      },
    ],
    acts: false,
  },
  constants: {
    says: 'what the board is built with',
    needs: '',
    args: [],
    reply: [
      { name: 'clockHz', kind: 'number', min: 1, max: U32, unit: 'Hz', says: 'nominal crystal frequency' },
      { name: 'adcBits', kind: 'number', min: 8, max: 16, unit: 'bit', says: 'resolution of a sample' },
      { name: 'frameUs', kind: 'number', min: 1, max: 65535, unit: 'us', says: 'time that one frame covers' },
      {
        name: 'slotCount',
        kind: 'number',
        min: 1,
        max: 64,
        unit: '1',
        says: 'samples in one frame, evenly spaced',
      },
      ms('deadFloorMs', 0, 65535, 'shortest dead time that can be set'),
      ms('deadDefaultMs', 0, 65535, 'dead time after reset'),
      ms('silenceMs', 1, 65535, 'host silence that stops the board'),
      ms('holdCeilingMs', 1, U32, 'longest hold that a throw may ask for'),
      {
        name: 'requestMaxBytes',
        kind: 'number',
        min: 1,
        max: 65535,
        unit: 'byte',
        says: 'longest request, newline included',
      },
    ],
    acts: false,
  },
  state: {
    says: 'what the board does now',
    needs: '',
    args: [],
    reply: [
      word('position', POSITIONS, 'position thrown'),
      word('feed', FEEDS, 'feed to the unit'),
      word('mode', MODES, 'idle, armed or stopped'),
      word('stop', STOP_WORDS, 'latched stop reason'),
      word('stopLoop', LOOPS, 'stop loop as it is now'),
      word('stream', SWITCH, 'frames are being sent'),
      ms('holdLeftMs', 0, 65535, 'until the longest hold stops the throw; 0 at rest'),
      ms('deadLeftMs', 0, 65535, 'until the next throw is possible'),
      ms('boardMs', 0, U32, 'board time since reset, wraps'),
      {
        ...word(
          'feedBus',
          BUSES,
          'whether the feed to the unit has voltage now; always dead on a rig without that sense',
        ),
        since: '1.1.0',
      },
      {
        ...word('coil', COILS, "feed of the relay coils; means nothing on a rig without the coils' limiter"),
        since: '1.2.0',
      },
    ],
    acts: false,
  },
  limits: {
    says: 'what is set',
    needs: '',
    args: [],
    reply: [...TRIP_TOLD, ms('deadMs', BOARD.deadFloorMs, BOARD.deadCeilingMs, 'dead time')],
    acts: false,
  },
  counters: {
    says: 'what went wrong on the wire since reset',
    needs: '',
    args: [],
    reply: [
      counter('framesSent', 'frames put on the wire'),
      counter(
        'framesLost',
        'frames dropped because the line to the host was full; their numbers are missing in the stream',
      ),
      counter('slotsLate', 'conversions that were not finished when the next was due'),
      counter('bytesLost', 'received bytes lost, at the least'),
      counter(
        'linesRefused',
        'lines refused before their verb was read: too long, malformed or wrong checksum',
      ),
    ],
    acts: false,
  },
  scan: { says: 'scan list in use', needs: '', args: [], reply: [SCAN], acts: false },
  alive: {
    says: 'the host is there; any other valid line says so too',
    needs: '',
    args: [],
    reply: [ms('boardMs', 0, U32, 'board time since reset, wraps')],
    acts: false,
  },
  arm: {
    says: 'allow feed and throws',
    needs: 'idle or armed; no latched stop; stop loop closed; feed bus dead',
    args: [],
    reply: [],
    acts: true,
  },
  off: {
    says: 'all outputs off, idle; always possible, latches nothing',
    needs: '',
    args: [],
    reply: [],
    acts: true,
  },
  stop: {
    says: 'all outputs off, latches `host-request`; always possible',
    needs: '',
    args: [],
    reply: [],
    acts: true,
  },
  clear: {
    says: 'forget the latched stop, and tell it; idle afterwards',
    needs: 'stop loop closed',
    args: [],
    reply: [{ ...word('stop', STOP_WORDS, 'reason forgotten just now'), since: '1.1.0' }],
    acts: true,
  },
  feed: {
    says: 'feed to the unit',
    needs: 'armed, except for `off`, which is always possible',
    args: [word('feed', FEEDS, 'limited feeds through the series resistor')],
    reply: [],
    acts: true,
  },
  coil: {
    says: "feed of the unit's relay coils: straight, or back through its limiter",
    needs: 'armed, except for `limited`, which is always possible',
    args: [word('coil', COILS, 'everything that switches off puts it back to limited')],
    reply: [],
    acts: true,
  },
  throw: {
    says: 'throw a position',
    needs: 'armed, at rest, dead time over',
    args: [
      word('position', ['forward', 'reverse'], 'forward makes lead A positive'),
      ms(
        'holdMs',
        1,
        BOARD.holdCeilingMs,
        'longest hold: the board stops (`longest-hold`) unless released before',
      ),
    ],
    reply: [],
    acts: true,
  },
  release: {
    says: 'back to rest; always possible; the dead time starts',
    needs: '',
    args: [],
    reply: [],
    acts: true,
  },
  'set-trip': { says: 'over-current limits', needs: 'idle', args: [...TRIP_SET], reply: [], acts: true },
  'set-dead': {
    says: 'dead time',
    needs: 'idle',
    args: [
      ms('deadMs', BOARD.deadFloorMs, BOARD.deadCeilingMs, 'wait after a release before the next throw'),
    ],
    reply: [],
    acts: true,
  },
  'set-scan': {
    says: 'choose the scan list; M and F must each stand in it at least once, because they guard the outputs',
    needs: 'idle, stream off',
    args: [SCAN],
    reply: [],
    acts: true,
  },
  'set-rig': { says: 'write the rig id into EEPROM', needs: 'idle', args: [RIG_ID], reply: [], acts: true },
  stream: {
    says: 'one frame line a millisecond; `on` starts with frame number 0',
    needs: 'no burst under way, for `on`',
    args: [word('stream', SWITCH, 'on or off')],
    reply: [],
    acts: true,
  },
  burst: {
    says: 'sample one or two inputs as fast as possible around an edge, into RAM; `!burst` tells when it is done',
    needs: 'stream off, no burst under way',
    args: [
      {
        name: 'inputs',
        kind: 'text',
        pattern: `^[${LETTERS}]{1,2}$`,
        maxChars: 2,
        says: 'letters of the scan list; two take turns',
      },
      word(
        'edge',
        BURST_EDGES,
        'at once, at the next throw, or at the next return to rest for whatever reason',
      ),
      {
        name: 'before',
        kind: 'number',
        min: 0,
        max: BOARD.burstSamples - 64,
        unit: '1',
        says: 'samples to keep from before the edge; fewer when the edge comes sooner',
      },
    ],
    reply: [],
    acts: true,
  },
  'burst-end': {
    says: 'give up a burst under way or forget a finished one',
    needs: '',
    args: [],
    reply: [],
    acts: true,
  },
  'burst-read': {
    says: `samples of the finished burst, ${BOARD.burstReadSamples} or as many as are left, packed as in a frame; as often as wanted`,
    needs: 'a finished burst',
    args: [
      {
        name: 'from',
        kind: 'number',
        min: 0,
        max: BOARD.burstSamples - 3,
        unit: '1',
        says: 'place of the first sample, a multiple of 3; the oldest is 0',
      },
    ],
    reply: [
      {
        name: 'samples',
        kind: 'text',
        pattern: '^[0-o]+$',
        maxChars: (BOARD.burstReadSamples / 3) * 5,
        says: 'five characters for three samples; with two inputs these take turns, the first input first',
      },
    ],
    acts: false,
  },
} as const satisfies Record<string, Message>;

/** Lines the board sends by itself. */
export const EVENTS = {
  ready: {
    says: 'the board has just started; outputs are off',
    fields: [
      { name: 'protocol', kind: 'number', min: 1, max: 65535, unit: '1', says: 'protocol version' },
      word('resetCause', RESET_CAUSES, 'what started the board'),
    ],
  },
  stop: {
    says: 'the board has just stopped: outputs off, reason latched',
    fields: [
      word('stop', STOP_WORDS, 'first reason'),
      ms('boardMs', 0, U32, 'board time since reset, wraps'),
    ],
  },
  burst: {
    says: 'a burst is done and can be read',
    fields: [
      {
        name: 'samples',
        kind: 'number',
        min: 1,
        max: 65535,
        unit: '1',
        says: 'samples kept, of both inputs together',
      },
      {
        name: 'edgeAt',
        kind: 'number',
        min: 0,
        max: 65535,
        unit: '1',
        says: 'place of the first sample taken after the edge',
      },
      {
        name: 'slotCycles',
        kind: 'number',
        min: 1,
        max: 65535,
        unit: 'cycle',
        says: 'between one conversion and the next',
      },
      {
        name: 'stepSlots',
        kind: 'number',
        min: 1,
        max: 255,
        unit: '1',
        says: 'conversions between two samples of one input; with two inputs the second is one conversion after the first',
      },
    ],
  },
} as const;

export type Verb = keyof typeof REQUESTS;
export type EventName = keyof typeof EVENTS;

type ValueOf<F extends Field> = F extends { kind: 'word'; words: readonly (infer W)[] }
  ? W
  : F extends { kind: 'number' }
    ? number
    : string;
type IsNew<F> = F extends { since: string } ? true : false;
export type ValuesOf<Fields extends readonly Field[]> = {
  [F in Fields[number] as IsNew<F> extends true ? never : F['name']]: ValueOf<F>;
} & { [F in Fields[number] as IsNew<F> extends true ? F['name'] : never]?: ValueOf<F> };
/** A request as an object: its verb and its arguments by name. */
export type Request = { [V in Verb]: { verb: V } & ValuesOf<(typeof REQUESTS)[V]['args']> }[Verb];
export type ReplyOf<V extends Verb> = ValuesOf<(typeof REQUESTS)[V]['reply']>;
export type BoardEvent = {
  [E in EventName]: { name: E } & ValuesOf<(typeof EVENTS)[E]['fields']>;
}[EventName];
