// The text of a new motor and a new unit, with what each line means and where it comes from beside it.

import { type MotorProfile, PARTS_LISTS, type PartsListName } from '../../profile/index.js';
import { type StatedSize, shortly } from '../../tell/index.js';
import type { LikelyMotor, Measured } from './likely-motor.js';

export interface NewMotor {
  id: string;
  title: string;
  /** Of the motor that stands in for what was not measured. */
  likeTitle: string;
  origin: MotorProfile['origin'];
  measured: Measured;
  motor: LikelyMotor;
  family: MotorProfile['family'];
}

const ORIGIN_MEANS: Readonly<Record<string, string>> = {
  generic: 'usual for such motors: nobody fails for a current or a start alone',
  learned: 'measured on a known good unit: held as limits',
  maker: "from the maker's sheet: held as limits",
};

const number = (value: number): string => String(Number(value.toPrecision(3)));
const toleranced = (value: number, percent: number): string =>
  `{ nominal: ${number(value)}, tolerancePercent: ${percent} }`;

/** @param schema path of the JSON Schema, as the file should name it */
export function motorText(
  { id, title, likeTitle, origin, measured, motor, family }: NewMotor,
  schema: string,
): string {
  const like = `as of the ${likeTitle.toLowerCase()}`;
  const said = (value: number | undefined, words: string): string => (value === undefined ? like : words);
  const lines = [
    `# yaml-language-server: $schema=${schema}`,
    `# ${title}: runs on ${shortly(motor.runningA, 'A')} at ${shortly(motor.nominalVoltageV, 'V')}, about ${Math.round(motor.speedRpm / 10) * 10} rpm at the armature; held, ${shortly(motor.heldA, 'A')}.`,
    '# A number is written alone, in the unit at the end of its key, with a decimal point. tolerancePercent is how far good',
    '# ones differ, either way. throwbench profile check tells what is wrong with a file.',
    `id: ${id}`,
    `title: ${quoted(title)}`,
    'kind: motor',
    `nominalVoltageV: ${number(motor.nominalVoltageV)}`,
    `# ${ORIGIN_MEANS[origin] ?? ''}. Others: generic, learned, maker.`,
    `origin: ${origin}`,
    '',
    ...(family
      ? [
          '# Usual motors of this family, running and held (common practice).',
          'family:',
          `  runningA: { least: ${number(family.runningA.least)}, most: ${number(family.runningA.most)} }`,
          `  heldA: { least: ${number(family.heldA.least)}, most: ${number(family.heldA.most)} }`,
          '',
        ]
      : []),
    `# Between the two pins: ${said(measured.resistanceOhm, 'measured')}.`,
    `resistanceOhm: ${toleranced(motor.resistanceOhm, 10)}`,
    `# Rises with the resistance, ${like}.`,
    `inductanceH: ${toleranced(motor.inductanceH, 12)}`,
    `# Volts for each rad/s of the armature; speed ${said(measured.speedRpm, 'measured')}.`,
    `backEmfVsPerRad: ${toleranced(motor.backEmfVsPerRad, 8)}`,
    '# In these units the same as the back-EMF but for iron loss.',
    `torqueNmPerA: ${toleranced(motor.torqueNmPerA, 8)}`,
    `# It starts as quickly as the ${likeTitle.toLowerCase()}.`,
    `inertiaKgM2: ${toleranced(motor.inertiaKgM2, 10)}`,
    `# Friction for the running current: ${said(measured.runningA, 'measured')}. What grows with speed, and what does not.`,
    `viscousNms: ${toleranced(motor.viscousNms, 12)}`,
    `coulombNm: ${toleranced(motor.coulombNm, 22)}`,
    '# Both brushes together.',
    `brushDropV: ${number(motor.brushDropV)}`,
    '# Longest throw that motor and gearbox bear.',
    'longestHoldS: 5',
    '',
  ];
  return lines.join('\n');
}

export interface NewUnit {
  id: string;
  title: string;
  circuit: string;
  circuitTitle: string;
  /** Not known to the person: how to find out stands beside it. */
  isCircuitGuessed: boolean;
  motor?: string | undefined;
  load?: string | undefined;
  relay?: string | undefined;
  subject?: 'harness' | undefined;
  /** Where it is not what the circuit says by itself. */
  throwBy?: 'rig' | 'operator';
  /** Of a drive with limit switches, where somebody has timed it. */
  travelS?: number;
  /** Absent of a relay alone. */
  wiring?: { lengthM: number; size: StatedSize };
}

const THROWN = {
  rig: "The rig's stand-in throws in place of the harness's own switch, which is then not tested.",
  operator: "A person throws the harness's own switch when asked.",
} as const;

/** As it was stated. */
const sizeOf = ({ areaMm2 = 0, awg }: StatedSize): string =>
  awg === undefined ? `areaMm2: ${number(areaMm2)}` : `awg: ${awg}`;

/** @param schema path of the JSON Schema, as the file should name it */
export function unitText(unit: NewUnit, schema: string): string {
  const { id, title, circuit, circuitTitle, isCircuitGuessed, subject, throwBy, travelS, wiring } = unit;
  const lines = [
    `# yaml-language-server: $schema=${schema}`,
    `# ${title}. Tested by: throwbench run --profile THIS-FILE --unit TAG --port PATH (or --virtual good).`,
    `id: ${id}`,
    `title: ${quoted(title)}`,
    'kind: unit',
    ...(subject ? ['# What is judged: a harness on a known load.', `subject: ${subject}`] : []),
    `# ${circuitTitle}. Others: throwbench profile list circuits.`,
    ...(isCircuitGuessed
      ? ['# Not known yet: run with --circuit auto, which tells what the circuit reads like.']
      : []),
    `circuit: ${circuit}`,
    ...(unit.motor ? [`motor: ${unit.motor}`] : []),
    ...(unit.load
      ? ['# Measure yours with four wires and write it into a load of your own.', `load: ${unit.load}`]
      : []),
    ...(unit.relay ? [`relay: ${unit.relay}`] : []),
    ...(throwBy ? [`# ${THROWN[throwBy]}`, `throwBy: ${throwBy}`] : []),
    ...(travelS === undefined
      ? []
      : [
          '# From one end of its travel to the other, by a watch: throws are made long enough for it.',
          `travelS: ${number(travelS)}`,
        ]),
    ...(wiring
      ? [
          '# One wire of the harness, from the rig to the unit, and its size (areaMm2: 1.5, or awg: 16).',
          `wiring: { lengthM: ${number(wiring.lengthM)}, ${sizeOf(wiring.size)} }`,
        ]
      : []),
    '',
  ];
  return lines.join('\n');
}

/** As YAML takes it whatever stands in it. */
const quoted = (title: string): string =>
  /^[A-Za-z][\w ()/,.-]*$/.test(title) ? title : JSON.stringify(title);

export interface NewPart {
  list: PartsListName;
  id: string;
  title: string;
  numbers: Readonly<Record<string, number>>;
  source?: string;
}

/** @param schema path of the JSON Schema, as the file should name it */
export function partsText(
  { id, title, parts }: { id: string; title: string; parts: readonly NewPart[] },
  schema: string,
): string {
  const line = (part: NewPart): string => {
    const numbers = Object.entries(part.numbers).map(([key, value]) => `, ${key}: ${value}`);
    const source = part.source === undefined ? '' : `, source: ${JSON.stringify(part.source)}`;
    return `  - { id: ${part.id}, title: ${JSON.stringify(part.title)}${numbers.join('')}${source} }`;
  };
  const lists = PARTS_LISTS.flatMap((list) => {
    const own = parts.filter((part) => part.list === list);
    return own.length === 0 ? [] : ['', `${list}:`, ...own.map(line)];
  });
  return [
    `# yaml-language-server: $schema=${schema}`,
    '# Parts that throwbench ratings may suggest, besides those that come with it; one of the same id stands in its place.',
    '# A part without a source is told as common practice, no source. throwbench profile check tells what is wrong with a file.',
    `id: ${id}`,
    `title: ${quoted(title)}`,
    'kind: parts',
    ...lists,
    '',
  ].join('\n');
}
