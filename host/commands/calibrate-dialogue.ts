// Calibration as a talk: for each channel its zero with everything off, then a known load, the meter's reading, and what the
// correction does, kept when the person says so. Outputs are off at every question; a load is on only while a meter is read.

import { CHANNEL, CHANNELS, type Channel, type Position } from '../capture/index.js';
import { known } from '../fields/index.js';
import { listPorts } from '../link/index.js';
import { coverageFactor95 } from '../measure/index.js';
import { type RigProfile, thrownAsPlanned } from '../profile/index.js';
import { correctedScales } from '../records/correction/index.js';
import { type CalibrationPoint, openStore, type Store } from '../records/index.js';
import { capitalised, fixed } from '../tell/index.js';
import { type BenchNamed, loadBench } from './bench-named.js';
import { calibrationIn, refuseNonsense } from './calibrate.js';
import { correctionWords, quantityOfChannel } from './calibrate-text.js';
import { type CommandIo, EXIT, UsageError } from './command.js';
import { Hand, type HandKey } from './hand.js';
import { cautionsOf } from './kept-sitting.js';
import type { BareRig } from './open-bench.js';
import { Dialogue } from './profile/dialogue.js';
import { readSettings } from './settings.js';
import { onLeave } from './signals.js';
import { LONGEST_S, type LoadRead, steadyLoad } from './steady-load.js';
import { takeReading } from './take-reading.js';

export interface DialogueAsked {
  /** Asked for where it is not named. */
  bench: BenchNamed | undefined;
  channel: Channel | undefined;
  /** While the load is read; undefined: as is usual for the channel. */
  position: Position | undefined;
  /** How long a zero is read; as usual where it is not told. */
  seconds?: number | undefined;
}

const USUAL_ZERO_S = 1;
/** Of a hand meter of the workshop kind: 0.9 % of the reading as limits of error (common practice, no source). */
const METER_LIMITS_PERCENT = 0.9;
/** Limits of error as a rectangular distribution: GUM (JCGM 100:2008) 4.3.7. */
const STANDARD_OF_LIMITS = 1 / Math.sqrt(3);

/** How a known load is put on a channel, with outputs off. */
const LOAD_WORDS: Readonly<Record<'A' | 'V', string>> = {
  A: 'Put the meter, or its clamp, in line with the load that the current flows through.',
  V: "Put the meter's probes where the rig's sense clip bites, and on the rig's ground.",
};

interface Talk {
  asked: DialogueAsked;
  io: CommandIo;
  dialogue: Dialogue;
  hand: Hand;
  store: Store;
  bench: BareRig;
  rigProfile: RigProfile;
}

/** The exit code: kept or left in good order is 0. */
export async function calibrateByDialogue(asked: DialogueAsked, io: CommandIo): Promise<number> {
  const left = new AbortController();
  const release = onLeave(io, () => left.abort());
  const hand = new Hand(io.stdin ?? process.stdin, left.signal);
  const dialogue = new Dialogue(io, hand.lines);
  const store = openStore();
  try {
    const named = asked.bench ?? (await benchAsked(dialogue));
    if (named === undefined) return EXIT.usage;
    const loaded = await loadBench(named);
    const { unit } = loaded;
    // Nobody hears a prompt here: the switch of a virtual unit moves with the throws of the board.
    const wanted = unit?.plan.throwBy === 'operator' ? { ...loaded, unit: thrownAsPlanned(unit) } : loaded;
    if (!(await cautionsRead(dialogue, store))) return EXIT.usage;
    const bench = await (await import('./open-bench.js')).openRig(wanted, true);
    try {
      await talk({ asked, io, dialogue, hand, store, bench, rigProfile: wanted.rigProfile });
    } finally {
      await bench.rig.allOff();
      await bench.close();
    }
    return EXIT.pass;
  } finally {
    store.close();
    hand.close();
    release();
  }
}

/** The port of the settings, one that is chosen, or the virtual bench to try it on. */
async function benchAsked(dialogue: Dialogue): Promise<BenchNamed | undefined> {
  const { port } = readSettings();
  if (port !== undefined) return { port, profile: undefined };
  const ports = await listPorts();
  const choices: { words: string; value: BenchNamed }[] = [
    ...ports.map(({ path, manufacturer }) => ({
      words: manufacturer ? `${path}, ${manufacturer}` : path,
      value: { port: path, profile: undefined },
    })),
    {
      words: 'the virtual bench, to try it: nothing is energised',
      value: { virtual: 'entry-step-good', profile: 'entry-step-relays' },
    },
  ];
  dialogue.tell('Opening a port restarts its board: outputs go off.');
  const chosen = await dialogue.choose('Which rig?', choices, choices.length - 1);
  return dialogue.isEnded ? undefined : chosen;
}

/** Once a shift. False where nobody says that they were read. */
async function cautionsRead(dialogue: Dialogue, store: Store): Promise<boolean> {
  const { CAUTIONS } = await import('../bench/index.js');
  const { operator } = readSettings();
  if (!cautionsOf(store, operator, undefined).areDue()) return true;
  for (const line of CAUTIONS) dialogue.tell(`  ${line}`);
  await dialogue.text('Enter: I have read this', 'Enter', () => undefined);
  if (dialogue.isEnded) return false;
  store.addAcknowledgement({ what: 'cautions', lines: CAUTIONS, ...known({ operator }) });
  return true;
}

async function talk(t: Talk): Promise<void> {
  const { asked, dialogue, bench, rigProfile } = t;
  dialogue.tell(`Rig ${bench.rig.facts.rigId}. Outputs are off.`);
  const channels = CHANNELS.filter((channel) => rigProfile.scales[channel] !== undefined);
  let channel = asked.channel;
  while (!dialogue.isEnded) {
    channel ??= await dialogue.choose(
      'Which channel?',
      channels.map((one) => ({ value: one, id: CHANNEL[one].column, words: CHANNEL[one].words })),
      Math.max(0, channels.indexOf('motorCurrentA')),
    );
    if (channel === undefined || dialogue.isEnded) return;
    await readZero(t, channel);
    await readLoad(t, channel);
    if (dialogue.isEnded || !(await yes(dialogue, 'Another channel?', false))) return;
    channel = undefined;
  }
}

async function readZero(t: Talk, channel: Channel): Promise<void> {
  const { asked, dialogue, bench, rigProfile } = t;
  const what = CHANNEL[channel].words;
  if (!(await yes(dialogue, `Read the zero of ${what}: nothing may flow or be fed there. Go on?`, true)))
    return;
  const reading = {
    channel,
    point: 'zero',
    position: 'rest',
    seconds: asked.seconds ?? USUAL_ZERO_S,
  } as const;
  const seen = await takeReading(bench.rig, { ...reading, trip: rigProfile.trip }, rigProfile);
  dialogue.tell(
    `With everything off ${what} reads ${quantityOfChannel(channel, seen.value, 2 * seen.standardUncertainty)}.`,
  );
  await offer(t, pointOf(t, { channel, point: 'zero', reference: 0, referenceUncertainty: 0 }, seen));
}

async function readLoad(t: Talk, channel: Channel): Promise<void> {
  const { dialogue } = t;
  const { unit, loadedAt } = CHANNEL[channel];
  const position = t.asked.position ?? loadedAt;
  dialogue.tell(`Outputs are off. ${LOAD_WORDS[unit]}`);
  for (;;) {
    const how =
      position === 'rest' ? 'the feed is switched on' : `the feed is switched on and thrown ${position}`;
    const question = `Hands clear? Then ${how}, ${secondsOf(t, position)} at most. Switch it on?`;
    if (!(await yes(dialogue, question, true))) return;
    const { read, meter } = await loadOn(t, channel, position);
    if (read.kind === 'leave') return;
    if (read.kind !== 'read') {
      dialogue.tell(`${notRead(read)} Outputs are off.`);
      continue;
    }
    dialogue.tell('Outputs are off.');
    const reference = await meterAsked(t, channel, read.value, meter);
    if (dialogue.isEnded) return;
    if (reference === undefined) continue;
    const limits = await dialogue.number({
      question: "The meter's limits of error, % of its reading",
      ...{
        unit: '%',
        least: 0.001,
        most: 20,
        usual: METER_LIMITS_PERCENT,
        otherwise: String(METER_LIMITS_PERCENT),
      },
    });
    if (dialogue.isEnded) return;
    const referenceUncertainty =
      (STANDARD_OF_LIMITS * Math.abs(reference) * (limits ?? METER_LIMITS_PERCENT)) / 100;
    const point = pointOf(t, { channel, point: 'load', reference, referenceUncertainty }, read);
    try {
      refuseNonsense(t.store, point, t.rigProfile);
    } catch (error) {
      if (!(error instanceof UsageError)) throw error;
      dialogue.tell(`${capitalised(error.message)}.`);
      continue;
    }
    await offer(t, point);
    return;
  }
}

/** Undefined: read it again. */
async function meterAsked(
  { dialogue }: Talk,
  channel: Channel,
  seen: number,
  meter: number | undefined,
): Promise<number | undefined> {
  const { unit, words } = CHANNEL[channel];
  const told = quantityOfChannel(channel, seen, 0);
  if (meter !== undefined) dialogue.tell(`The meter of the virtual bench showed ${fixed(meter, 3)} ${unit}.`);
  return dialogue.number({
    question: `${capitalised(words)} read ${told}. What did the meter show?`,
    ...{ unit, least: -1000, most: 1000, usual: Number(fixed(seen, 3)), otherwise: 'read again' },
  });
}

async function loadOn(
  { dialogue, hand, bench, rigProfile }: Talk,
  channel: Channel,
  position: Position,
): Promise<{ read: LoadRead; meter: number | undefined }> {
  let key: HandKey | undefined;
  const shown: number[] = [];
  const read = await hand.whileEnergised(
    (pressed) => {
      // The Enter at the end of a scan takes no outputs off back.
      if (pressed !== 'enter' || key === undefined) key = pressed;
      // At once, whatever is waited for.
      if (pressed !== 'enter') bench.rig.allOff().catch(() => undefined);
    },
    () => {
      // Only now, when every key is listened to.
      dialogue.tell('LOAD ON. Space or Esc: outputs off.');
      return steadyLoad(
        bench.rig,
        { channel, position, rigProfile },
        {
          onSteady: (value, leftS) => {
            // An Enter from before was not about this.
            if (key === 'enter') key = undefined;
            dialogue.tell(
              `Steady at ${quantityOfChannel(channel, value, 0)}. Read the meter, then press Enter (off by itself in ${fixed(leftS, 0)} s).`,
            );
          },
          pressed: () => key,
          onLook: () => {
            if (bench.meter) shown.push(bench.meter(channel));
          },
        },
      );
    },
  );
  const meter = shown.length === 0 ? undefined : shown.reduce((sum, value) => sum + value, 0) / shown.length;
  return { read, meter };
}

function notRead(read: Exclude<LoadRead, { kind: 'read' }>): string {
  if (read.kind === 'refused') return `${capitalised(read.sentence).replace(/\.$/, '')}.`;
  if (read.kind === 'stopped') return `The rig stopped: ${read.sentence.replace(/\.$/, '')}.`;
  return read.kind === 'not-steady'
    ? 'The load did not become steady: a motor that is still warming, a loose clip, or a load that is not on.'
    : 'Stopped by key.';
}

type Known = Pick<CalibrationPoint, 'channel' | 'point' | 'reference' | 'referenceUncertainty'>;

function pointOf(
  { bench, rigProfile }: Talk,
  about: Known,
  seen: { value: number; standardUncertainty: number },
): CalibrationPoint {
  const { atZeroCount, perCount } = rigProfile.scales[about.channel];
  return {
    ...{ ...about, rigId: bench.rig.facts.rigId, at: new Date().toISOString(), atZeroCount, perCount },
    ...{ reading: seen.value, readingUncertainty: seen.standardUncertainty },
  };
}

/** Shows what the point does to the reading and to its ±, and keeps it where that is wanted. */
async function offer(t: Talk, point: CalibrationPoint): Promise<void> {
  const { dialogue, store, rigProfile } = t;
  for (const line of effectLines(store, point, rigProfile)) dialogue.tell(`  ${line}`);
  const isOdd = isFarOff(point, rigProfile);
  if (isOdd)
    dialogue.tell(
      point.point === 'zero'
        ? '  That is far more than a rig in order reads with everything off: does something still flow, or is a supply still on?'
        : '  That is far more than a rig in order is off: misread, another place, or another load? Better read it again.',
    );
  if (!(await yes(dialogue, 'Keep it?', !isOdd))) {
    dialogue.tell('Not kept.');
    return;
  }
  store.addCalibration(point);
  dialogue.tell('Kept, from now on.');
}

/** So many standard uncertainties of rig and meter together are no chance any more. */
const FAR_OFF = 4;

function isFarOff(
  { channel, reading, readingUncertainty, reference, referenceUncertainty }: CalibrationPoint,
  { scales }: RigProfile,
): boolean {
  const { offsetUncertainty, gainUncertaintyPercent } = scales[channel];
  const ofGain = (Math.abs(reference) * gainUncertaintyPercent) / 100;
  const standard = Math.hypot(readingUncertainty, referenceUncertainty, offsetUncertainty, ofGain);
  return Math.abs(reading - reference) > FAR_OFF * standard;
}

/** Correction and ± before and after, at the value of the point. */
function effectLines(store: Store, point: CalibrationPoint, rigProfile: RigProfile): string[] {
  const { channel, rigId, at, reference } = point;
  const before = calibrationIn(store, rigId, at, rigProfile);
  const listCalibrations = () => [...store.listCalibrations(rigId), point];
  const after = calibrationIn({ listCalibrations }, rigId, at, rigProfile);
  const { zero = 0, gain = 1 } = after.channels[channel] ?? {};
  const told = (calibration: typeof before): string => {
    const scale = correctedScales(rigProfile.scales, calibration)[channel];
    const standard = Math.hypot(
      scale.offsetUncertainty,
      (Math.abs(reference) * scale.gainUncertaintyPercent) / 100,
    );
    return quantityOfChannel(channel, reference, coverageFactor95(Number.POSITIVE_INFINITY) * standard);
  };
  return [
    `Correction: ${correctionWords({ zero, gain })}.`,
    `How good a reading is there: until now ${told(before)}, from now on ${told(after)}.`,
  ];
}

/** False where nobody answers any more. */
async function yes(dialogue: Dialogue, question: string, usual: boolean): Promise<boolean> {
  const answer = await dialogue.text(question, usual ? 'yes' : 'no', (said) =>
    /^(y|yes|n|no)$/i.test(said) ? undefined : 'Type yes or no.',
  );
  return !dialogue.isEnded && /^y/i.test(answer);
}

const secondsOf = ({ bench }: Talk, position: Position): string =>
  `${fixed(position === 'rest' ? LONGEST_S : bench.rig.facts.longestHoldS, 0)} s`;
