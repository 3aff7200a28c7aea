// What `profile new` asks, in the order in which a person at the bench knows it.

import { known } from '../../fields/index.js';
import { steeringIn } from '../../input/index.js';
import {
  type CircuitStyle,
  carriesBySwitch,
  hasLimits,
  listProfiles,
  loadCircuit,
  loadMotor,
  type MotorProfile,
  plainValues,
  RANGE,
} from '../../profile/index.js';
import { shortly } from '../../tell/index.js';
import type { Dialogue } from './dialogue.js';
import { freeRunning, likelyMotor, type Measured, mostRunningA } from './likely-motor.js';
import type { NewMotor, NewUnit } from './written.js';

type What = 'with-motor' | 'motor' | 'harness' | 'relay';

const WHAT = [
  { value: 'with-motor', words: 'a motor with its harness' },
  { value: 'motor', words: 'a motor alone: the rig does the switching' },
  { value: 'harness', words: 'a harness, on a known load in place of the motor' },
  { value: 'relay', words: 'a relay alone' },
] as const;
export const LONGEST_TITLE = 60;
const WIRING = { lengthM: 1.5, areaMm2: 1.5 };

export async function askAll(
  dialogue: Dialogue,
  isTaken: (id: string) => boolean,
): Promise<{ unit: NewUnit; motor?: NewMotor }> {
  const what: What = (await dialogue.choose('What do you want to test?', WHAT, 0)) ?? 'with-motor';
  const title = await dialogue.text('What do you call it?', freeTitle(isTaken), (answer) =>
    refusedName(answer, isTaken),
  );
  const id = idOf(title);
  const { style, isGuessed } = await circuitFor(dialogue, what);
  const hasRelays = style.elements.some(({ kind }) => kind === 'relay');
  const relay = hasRelays ? await partFor(dialogue, 'relay', 'Which relay is it most like?') : undefined;
  const motor = what === 'with-motor' || what === 'motor' ? await motorFor(dialogue, id, title) : undefined;
  const load =
    what === 'harness'
      ? await partFor(dialogue, 'load', 'Which load hangs in place of the motor?')
      : undefined;
  const throwBy = style.subject === undefined ? await throwerFor(dialogue, style) : undefined;
  const travelS = hasLimits(style) ? await travelFor(dialogue) : undefined;
  const wiring = what === 'relay' ? undefined : await wiringFor(dialogue);
  const unit: NewUnit = {
    id,
    title,
    circuit: style.id,
    circuitTitle: style.title,
    isCircuitGuessed: isGuessed,
    motor: motor?.id,
    load,
    relay,
    subject: what === 'harness' ? 'harness' : undefined,
    ...known({ throwBy, travelS, wiring }),
  };
  return motor ? { unit, motor } : { unit };
}

/** Undefined where the circuit leaves nothing to say. */
async function throwerFor(dialogue: Dialogue, style: CircuitStyle): Promise<NewUnit['throwBy']> {
  const hasSwitch = carriesBySwitch(style);
  const rig = hasSwitch
    ? "the rig's stand-in, in its place: switch and jumpers are then not tested"
    : 'the rig, in place of the switch';
  const throwBy = await dialogue.choose(
    'Who throws the switch?',
    [
      { value: 'rig', words: rig },
      { value: 'operator', words: "a person, by the harness's own switch" },
    ] as const,
    hasSwitch ? 1 : 0,
  );
  // Where the circuit has no switch that carries the motor, the rig throws anyway.
  return throwBy === 'rig' && !hasSwitch ? undefined : throwBy;
}

/** What is wrong with a name that becomes an id; undefined where nothing is. */
export function refusedName(
  answer: string,
  isTaken: (id: string) => boolean,
  taken: (id: string) => string = (id) => `There is a file ${id}.yaml already`,
): string | undefined {
  if (answer.length > LONGEST_TITLE) return `Type ${LONGEST_TITLE} characters or fewer.`;
  if (steeringIn(answer) !== undefined) return 'Type letters, digits and blanks.';
  const id = idOf(answer);
  if (id === '') return 'Type a name with a letter or digit from A to Z in it.';
  return isTaken(id) ? `${taken(id)}: type another name.` : undefined;
}

/** Lower-case words joined by hyphens, as ids are; empty where no letter or digit is left. */
export const idOf = (title: string): string =>
  title
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll('ß', 'ss')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, LONGEST_TITLE);

function freeTitle(isTaken: (id: string) => boolean): string {
  for (let count = 1; ; count++) {
    const title = count === 1 ? 'My unit' : `My unit ${count}`;
    if (!isTaken(idOf(title))) return title;
  }
}

async function circuitFor(
  dialogue: Dialogue,
  what: What,
): Promise<{ style: CircuitStyle; isGuessed: boolean }> {
  const styles = listProfiles('circuit')
    .filter(({ fault }) => fault === undefined)
    .map(({ id }) => loadCircuit(id));
  const wanted = what === 'motor' || what === 'relay' ? what : undefined;
  const fitting = styles.filter(({ subject }) => subject === wanted);
  const [only, ...others] = fitting;
  if (only === undefined) throw new Error(`no circuit style for ${what}`);
  if (others.length === 0) return { style: only, isGuessed: false };
  // The plain six-terminal switch first: what a person who does not know most likely has.
  const isPlain = ({ elements, restState, polarity }: CircuitStyle): boolean =>
    restState === 'open' &&
    polarity.reverse === 'negative' &&
    !elements.some(({ kind }) => kind === 'relay' || kind === 'limit');
  const sorted = fitting.toSorted((one, two) => one.elements.length - two.elements.length);
  const usual = Math.max(0, sorted.findIndex(isPlain));
  const choices = sorted.map((style) => ({ value: style, id: style.id, words: style.title }));
  const chosen = await dialogue.choose('How is it wired?', choices, usual);
  if (chosen) return { style: chosen, isGuessed: false };
  const style = sorted[usual] ?? only;
  dialogue.tell(
    `  Then I take: ${style.title}. A run with --circuit auto tells which circuit it reads like.`,
  );
  return { style, isGuessed: true };
}

async function partFor(dialogue: Dialogue, kind: 'relay' | 'load', question: string): Promise<string> {
  const parts = listProfiles(kind).filter(({ fault }) => fault === undefined);
  const choices = parts.map(({ id, title }) => ({ value: id, id, words: title }));
  return (await dialogue.choose(question, choices, 0)) ?? choices[0]?.value ?? '';
}

async function motorFor(dialogue: Dialogue, id: string, title: string): Promise<NewMotor> {
  const motors = listProfiles('motor')
    .filter(({ fault }) => fault === undefined)
    .map(({ id: one }) => loadMotor(one));
  const words = ({ title: name, family }: MotorProfile): string =>
    family
      ? `${name}: runs on ${family.runningA.least} to ${family.runningA.most} A, held ${family.heldA.least} to ${family.heldA.most} A`
      : name;
  const like =
    (await dialogue.choose(
      'Which motor is it most like? Whatever you cannot measure is taken from it.',
      motors.map((motor) => ({ value: motor, id: motor.id, words: words(motor) })),
      Math.max(
        0,
        motors.findIndex(({ family }) => family !== undefined),
      ),
    )) ?? motors[0];
  if (like === undefined) throw new Error('no motor to take after');
  const measured = await measuredOf(dialogue, like);
  const { nominalVoltageV, ...others } = measured;
  const isMeasured = Object.values(others).some((value) => value !== undefined);
  const origin = isMeasured ? await originOf(dialogue) : 'generic';
  const motor = likelyMotor(measured, plainValues(like));
  return {
    id,
    title: `Motor of ${title}`,
    likeTitle: like.title,
    origin,
    measured,
    motor,
    family:
      origin === 'generic' && nominalVoltageV === like.nominalVoltageV
        ? reaching(like.family, motor)
        : undefined,
  };
}

/** The family, so wide that the motor itself is in it. */
function reaching(
  family: MotorProfile['family'],
  motor: { runningA: number; heldA: number },
): MotorProfile['family'] {
  if (family === undefined) return undefined;
  const wide = ({ least, most }: { least: number; most: number }, value: number) => ({
    least: Math.min(least, 0.7 * value),
    most: Math.max(most, 1.4 * value),
  });
  return { runningA: wide(family.runningA, motor.runningA), heldA: wide(family.heldA, motor.heldA) };
}

async function originOf(dialogue: Dialogue): Promise<MotorProfile['origin']> {
  return (
    (await dialogue.choose(
      'Where do these numbers come from?',
      [
        { value: 'learned', words: 'measured on a motor known to be good: hold others to them' },
        { value: 'maker', words: "the maker's sheet: hold others to them" },
        { value: 'generic', words: 'a motor that may be bad, or a guess: fail nobody for a current alone' },
      ] as const,
      2,
    )) ?? 'generic'
  );
}

async function measuredOf(dialogue: Dialogue, like: MotorProfile): Promise<Measured> {
  const usual = plainValues(like);
  const as = `as the ${like.title.toLowerCase()}`;
  const volts = await dialogue.number({
    question: 'Made for how many volts?',
    unit: 'V',
    ...bounds('systemV'),
    usual: usual.nominalVoltageV,
    otherwise: '',
  });
  const nominalVoltageV = volts ?? usual.nominalVoltageV;
  const scale = nominalVoltageV / usual.nominalVoltageV;
  const likeOhm = usual.resistanceOhm * scale ** 2;
  const resistanceOhm = await dialogue.number({
    question: 'Resistance between its two pins, the least of several shaft angles, in Ohm?',
    unit: 'Ohm',
    least: Math.max(bounds('armatureOhm').least, nominalVoltageV / 400),
    most: Math.min(bounds('armatureOhm').most, nominalVoltageV / 0.12),
    usual: likeOhm,
    otherwise: `${shortly(likeOhm, 'Ω')}, ${as}`,
  });
  const most = mostRunningA(nominalVoltageV, resistanceOhm ?? likeOhm);
  const { currentA, speedRadS } = freeRunning(usual, usual.nominalVoltageV);
  const likeA = Math.min(currentA / scale, most / 2);
  const runningA = await dialogue.number({
    question: `Current while it runs, after the start, at ${shortly(nominalVoltageV, 'V')}, in A?`,
    unit: 'A',
    least: 0.01,
    most,
    usual: likeA,
    otherwise: `${shortly(likeA, 'A')}, ${as}`,
  });
  const likeRpm = Math.round((speedRadS * 3) / Math.PI) * 10;
  const speedRpm = await dialogue.number({
    question: 'Speed of the armature meanwhile, before the gears, in rpm?',
    unit: 'rpm',
    least: 300,
    most: 30_000,
    usual: likeRpm,
    otherwise: `${likeRpm} rpm, ${as}`,
  });
  return { nominalVoltageV, resistanceOhm, runningA, speedRpm };
}

/** Undefined where nobody has timed it: its limits are then not tested. */
const travelFor = (dialogue: Dialogue): Promise<number | undefined> =>
  dialogue.number({
    question: 'How long does it take from one end of its travel to the other, by a watch, in s?',
    unit: 's',
    ...bounds('travelS'),
    usual: 5,
    otherwise: 'not timed: its limit switches are then not tested',
  });

async function wiringFor(dialogue: Dialogue): Promise<NewUnit['wiring']> {
  const lengthM = await dialogue.number({
    question: 'Length of one wire from the rig to the motor, in m?',
    unit: 'm',
    ...bounds('lengthM'),
    usual: WIRING.lengthM,
    otherwise: '',
  });
  const size = await dialogue.wireSize('Its size', { usualMm2: WIRING.areaMm2, ...bounds('areaMm2') });
  return { lengthM: lengthM ?? WIRING.lengthM, size };
}

/** What a file may say, from the table that files are held to. */
export function bounds(of: keyof typeof RANGE): { least: number; most: number } {
  const { minimum, maximum } = RANGE[of]().meta() ?? {};
  return { least: Number(minimum), most: Number(maximum) };
}
