// `profile show`: one profile on a page, with its numbers, their units and where they come from; a unit with its parts.

import { elementWords, placeWords } from '../../circuit/index.js';
import { known } from '../../fields/index.js';
import { displayPath } from '../../input/index.js';
import {
  type AnyProfile,
  aFileOf,
  anyProfiles,
  type CircuitStyle,
  hookUpLines,
  loadUnit,
  type MotorProfile,
  nodesOf,
  type PartsFile,
  type Plan,
  type ProfileKind,
  plainValues,
  type ResolvedUnit,
  type Tray,
  type UnitProfile,
} from '../../profile/index.js';
import { fixed, shortly } from '../../tell/index.js';
import { type CommandIo, EXIT, jsonText } from '../command.js';
import { tableLines } from '../table.js';
import { numberRows } from './number-rows.js';
import { partsLines } from './parts-shown.js';

const ORIGIN_WORDS: Readonly<Record<string, string>> = {
  maker: "from the maker's sheet, held as limits",
  learned: 'from a known good unit, held as limits',
  published: 'published for parts of this class, held as limits',
  generic: 'usual for such parts, no specification: nobody fails for them alone',
};

/** @throws InputError */
export function show(io: CommandIo, ref: string, kind: ProfileKind | undefined, json: boolean): number {
  const [found, ...others] = anyProfiles(ref, known({ kind }));
  if (json) {
    io.stdout(jsonText(found.kind === 'unit' ? unitJson(loadUnit(found.path)) : found.value));
    return EXIT.pass;
  }
  const also = others.map(
    (one) => `${ref} is also ${aFileOf(one.kind)}: throwbench profile show ${one.kind} ${ref}`,
  );
  const lines = [...pageOf(found), ...(also.length > 0 ? ['', ...also] : [])];
  const most = io.isTty ? io.columns : 120;
  io.stdout(
    lines
      .flatMap((line) => wrapped(line, most))
      .map((line) => `${line}\n`)
      .join(''),
  );
  return EXIT.pass;
}

/** With how it is hooked up, in the colours of its wires. */
const unitJson = (unit: ResolvedUnit) => ({ ...unit, hookUp: hookUpLines(unit) });

function pageOf(found: AnyProfile): string[] {
  const { kind, file, value, path } = found;
  const head = [`${value.title} (${kind} ${value.id}, ${displayPath(path)})`, ...leaving(file.headComment())];
  switch (kind) {
    case 'unit':
      return [...head, ...unitLines(found)];
    case 'circuit':
      return [...head, '', ...circuitLines(value as CircuitStyle)];
    case 'plan':
      return [...head, '', ...planLines(value as Plan)];
    case 'tray':
      return [...head, '', ...trayLines(value as Tray)];
    case 'parts':
      return [...head, ...partsLines(value as PartsFile)];
    case 'motor':
      return [...head, '', ...partLines(found), '', ...motorLines(value as MotorProfile)];
    default:
      return [...head, '', ...partLines(found)];
  }
}

function partLines({ kind, file, value }: AnyProfile): string[] {
  const { origin } = value as { origin?: string };
  const told = origin === undefined ? [] : [`Numbers: ${ORIGIN_WORDS[origin] ?? origin}.`];
  return [
    ...told,
    ...tableLines(numberRows(kind, file, value).map(([words, ...cells]) => [`  ${words}`, ...cells])),
  ];
}

/** Supply at which a motor of 12 V is told: a battery under load. */
const LOADED_PER_NOMINAL = 13 / 12;

/** Steady state of the motor equations: V = drop + R i + k w, kt i = Tc + B w. */
function motorLines(motor: MotorProfile): string[] {
  const { nominalVoltageV, resistanceOhm, backEmfVsPerRad, torqueNmPerA, viscousNms, coulombNm, brushDropV } =
    plainValues(motor);
  const atV = LOADED_PER_NOMINAL * nominalVoltageV - brushDropV;
  const speed =
    (atV * torqueNmPerA - resistanceOhm * coulombNm) /
    (backEmfVsPerRad * torqueNmPerA + resistanceOhm * viscousNms);
  const runningA = (coulombNm + viscousNms * speed) / torqueNmPerA;
  const supplyV = shortly(LOADED_PER_NOMINAL * nominalVoltageV, 'V');
  return [
    `What follows at ${supplyV}, without its wiring: runs at ${shortly(runningA, 'A')} and ${Math.round((speed * 30) / Math.PI / 10) * 10} rpm (armature); held, ${shortly(atV / resistanceOhm, 'A')}.`,
  ];
}

function unitLines({ file, path, value }: AnyProfile): string[] {
  const unit = value as UnitProfile;
  const whole = loadUnit(path);
  const { style, plan } = whole;
  const parts = (['motor', 'load', 'relay'] as const).flatMap((kind) => {
    const id = unit[kind];
    return id === undefined ? [] : anyProfiles(id, { kind, beside: path }).slice(0, 1);
  });
  return [
    '',
    style.summary,
    '',
    `  circuit  ${style.title} (${style.id}); throwbench profile show circuit ${style.id}`,
    ...parts.map(({ kind, value: { id, title } }) => `  ${kind.padEnd(8)} ${title} (${id})`),
    `  plan     ${plan.title} (${plan.id}), ${shortly(
      plan.steps.reduce((sum, { durationS }) => sum + durationS, 0),
      's',
    )}${plan.throwBy === 'operator' ? ', thrown by hand' : ''}`,
    `  rig      ${whole.rig.title} (${whole.rig.id})`,
    '',
    ...tableLines(
      numberRows('unit', file, value)
        .filter(([words]) => !/^rules/.test(words))
        .map(([words, ...cells]) => [`  ${words}`, ...cells]),
    ),
    '',
    'How to hook it up:',
    ...hookUpLines(whole).map((line) => `  - ${line}`),
    ...parts.flatMap((part) => ['', ...pageOf(part)]),
  ];
}

function circuitLines(style: CircuitStyle): string[] {
  const rows = style.elements.map((element) => {
    const ends = [...new Set(nodesOf(element))].map((node) => placeWords(style, node).replace(/^the /, ''));
    return [`  ${elementWords(element)}`, ends.join(' - ')];
  });
  return [
    style.summary,
    '',
    ...(style.subject === 'relay'
      ? []
      : [`At rest both leads are ${style.restState}; released, a running motor ${style.release}s.`]),
    `Forward returns ${style.returnPath.forward}.`,
    `Reverse returns ${style.returnPath.reverse}.`,
    '',
    'How to hook it up:',
    ...hookUpLines({ style }).map((line) => `  - ${line}`),
    '',
    'What joins what:',
    ...tableLines(rows),
  ];
}

function planLines({ steps, throwBy }: Plan): string[] {
  let atS = 0;
  const rows = steps.map(({ position, durationS, feed, ask, heldRotor, untilProtectorOpens }) => {
    const row = [
      `  ${fixed(atS, 2)} s`,
      position,
      shortly(durationS, 's'),
      feed === 'off' ? 'no feed' : `${feed} feed`,
    ];
    atS += durationS;
    return [
      ...row,
      [
        ask && `asks a person: ${ask}`,
        heldRotor && 'rotor held',
        untilProtectorOpens && 'until the protector opens',
      ]
        .filter((words) => typeof words === 'string')
        .join(', '),
    ];
  });
  return [
    `${shortly(atS, 's')} in all${throwBy === 'operator' ? ', thrown by hand' : ''}:`,
    ...tableLines(rows),
  ];
}

const trayLines = ({ units }: Tray): string[] =>
  tableLines(
    units.map(({ tag, profile, virtual, note }) => [`  ${tag}`, profile, virtual ?? '', note ?? '']),
  );

const leaving = (words: string): string[] => (words === '' ? [] : ['', words]);

/** Lines no wider than `most`; what runs on stands under where its last column began. */
function wrapped(line: string, most: number): string[] {
  if (line.length <= most) return [line];
  const [lead = ''] = /^\s*(?:- )?(?:.*\S {2,})?/.exec(line) ?? [];
  const indent = lead.length < most / 2 ? lead.length : (/^\s*/.exec(line)?.[0].length ?? 0);
  const lines: string[] = [];
  let rest = line;
  while (rest.length > most) {
    const cut = rest.lastIndexOf(' ', most);
    const at = cut > indent ? cut : most;
    lines.push(rest.slice(0, at).trimEnd());
    rest = `${' '.repeat(indent)}${rest.slice(at).trimStart()}`;
  }
  return [...lines, rest];
}
