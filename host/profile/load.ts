// From a reference (an id or a path) to a checked profile with everything it refers to.
// Any fault is an InputError: one line with file, line, key, and what would be right.

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename, dirname, extname, resolve } from 'node:path';
import type * as z from 'zod';
import { checkShape } from './check-shape.js';
import type { CircuitStyle } from './circuit-style.js';
import {
  checkLimitedFirst,
  checkLoad,
  checkPlan,
  checkRig,
  checkSubject,
  checkUnit,
  checkWires,
  subjectSettled,
} from './fit.js';
import { checkHeldRotor, forLongHold } from './held-rotor.js';
import { type Learned, learnedSchema } from './learned.js';
import {
  aFileOf,
  findProfile,
  looksLikePath,
  type ProfileKind,
  profileDirs,
  profileIds,
  resolveProfile,
  unknownId,
} from './library.js';
import { misplaced } from './misplaced.js';
import { caseRules, motorRules, type PartRefusal, relayRules, rigRules } from './part-rules.js';
import { partsRules, partsSchema } from './parts.js';
import {
  caseSchema,
  type LoadProfile,
  loadSchema,
  type MotorProfile,
  motorSchema,
  type Plan,
  planSchema,
  type RelayProfile,
  type RigProfile,
  relaySchema,
  rigSchema,
  type Tray,
  traySchema,
  type UnitProfile,
  unitProfileSchema,
  type VirtualCase,
} from './schema.js';
import { thrownBy } from './stand-in.js';
import { standInMotor } from './stand-in-motor.js';
import { circuitStyleSchema } from './style-rules.js';
import { withTravel } from './travel.js';
import type { WaySeen } from './way.js';
import { YamlFile } from './yaml-file.js';

/** For a unit that names no plan, of a style that names none. */
export const USUAL_PLAN = 'throw-both-ways';
/** Of a motor without a sheet, whose starts are held against each other. */
const PLAN_WITHOUT_SHEET = 'several-starts';
/** Stands in where a unit names no motor. */
const UNKNOWN_MOTOR = 'unknown';

export interface LearnedFile {
  name: string;
  /** Hexadecimal. */
  sha256: string;
}

/** A unit profile with all it refers to: what a run needs to know of the thing on the bench. */
export interface ResolvedUnit {
  unit: UnitProfile;
  style: CircuitStyle;
  /**
   * What turns. With a `load` on the leads, or nothing to turn at all, only its ratings (`nominalVoltageV`, `origin`,
   * `longestHoldS`) mean anything: the figures of such a stand-in enter no circuit and no judgement.
   */
  motor: MotorProfile;
  /** Hangs on the leads where the style has its motor. */
  load?: LoadProfile;
  relay?: RelayProfile;
  rig: RigProfile;
  plan: Plan;
  /** The relay coils are fed through the rig's limiter all the while (coil-stage.ts). */
  coilFeed?: 'limited';
  /** Limits that known good units of this profile have taught. */
  learned?: Learned;
  /** The file that they stand in, by its name and the SHA-256 of its bytes; absent in older records. */
  learnedFile?: LearnedFile;
  /** Of a run that no rig drove: whether its capture tells what was thrown, or nothing but the current does. */
  witness?: 'positions-told' | 'current-alone';
  /** Of a run: which way the output went when it was thrown forward, as it was seen. */
  way?: WaySeen;
}

/** What each kind of profile must look like; JSON Schema of any of them by `jsonSchemaOf`. */
export const SCHEMAS = {
  unit: unitProfileSchema,
  tray: traySchema,
  case: caseSchema,
  circuit: circuitStyleSchema,
  motor: motorSchema,
  load: loadSchema,
  relay: relaySchema,
  rig: rigSchema,
  plan: planSchema,
  parts: partsSchema,
} as const satisfies Record<ProfileKind, z.ZodType>;

/** What a call wants in place of what the unit's file says. */
export interface Instead {
  circuit?: string;
  motor?: string;
  plan?: string;
}

/**
 * @param ref id of a file under units/ (or demo/) of the profiles, or path of a YAML file; what that file refers to
 *   is looked for beside it first.
 * @param profilesDir searched before the program's own profiles; default: the folder in THROWBENCH_PROFILES.
 * @param instead ids of a circuit style, a motor and a plan in place of the file's own.
 * @throws InputError
 */
export function loadUnit(ref: string, profilesDir?: string, instead?: Instead): ResolvedUnit {
  const { path, file, value: written } = openRef('unit', ref, profileDirs(profilesDir));
  const value = { ...written, ...instead };
  const dirs = dirsBeside(path, profilesDir);
  const refer = <K extends ProfileKind>(key: string, kind: K, id: string) => {
    const found = findProfile(kind, id, dirs);
    if (found !== undefined) return openProfile(kind, found);
    const { what, mend } = unknownId(kind, id, profileDirs(profilesDir));
    throw file.fault([key], `'${id}': ${what}`, misplaced(kind, id, path) ?? mend);
  };
  const style = refer('circuit', 'circuit', value.circuit);
  const unit = withMotor(subjectSettled(file, value, style.value));
  checkSubject(file, unit);
  const ownMotor = unit.motor === undefined ? undefined : refer('motor', 'motor', unit.motor).value;
  const load = unit.load === undefined ? undefined : refer('load', 'load', unit.load);
  const relay = unit.relay === undefined ? undefined : refer('relay', 'relay', unit.relay);
  const rig = refer('rig', 'rig', unit.rig);
  const usualPlan = ownMotor?.sheet === 'none' ? PLAN_WITHOUT_SHEET : USUAL_PLAN;
  const plan = refer('plan', 'plan', unit.plan ?? style.value.plan ?? usualPlan);
  checkUnit(file, unit, style.value);
  // Told of the file's own circuit; another one has wires of its own.
  if (instead?.circuit === undefined) checkWires(file, unit, style.value);
  checkRig(rig.file, rig.value);
  const { motor, rig: held } = forLongHold(
    file,
    { plan: plan.value, style: style.value, unit },
    { motor: ownMotor ?? standInMotor(load?.value ?? relay?.value ?? unit), rig: rig.value },
  );
  checkPlan(plan.file, plan.value, held, motor);
  checkHeldRotor(plan.file, plan.value);
  checkLimitedFirst(plan.file, plan.value, unit.subject);
  if (load !== undefined) checkLoad(load.file, load.value, rig.value);
  const going = withTravel(unit, { style: style.value, plan: plan.value, motor, rig: held });
  const resolved = {
    unit,
    ...thrownBy(file, unit, going.style, going.plan),
    motor: going.motor,
    ...(load === undefined ? {} : { load: load.value }),
    ...(relay === undefined ? {} : { relay: relay.value }),
    rig: going.rig,
  };
  // What was learned of the file's own circuit, motor and plan says nothing of another one.
  const isOwn =
    (instead?.circuit ?? written.circuit) === written.circuit &&
    instead?.motor === undefined &&
    instead?.plan === undefined;
  if (unit.learned === undefined || !isOwn) return resolved;
  return withLearned(resolved, resolve(dirname(path), unit.learned));
}

/** Limits as `throwbench learn` wrote them. @throws InputError for a file that is none */
export const readLearned = (path: string): Learned => checkShape(learnedSchema, YamlFile.read(path));

/**
 * `unit` with the limits of a file that `throwbench learn` wrote, in place of those that it may have.
 * @throws InputError for a file of another profile, circuit or rig.
 */
export function withLearned(unit: ResolvedUnit, path: string): ResolvedUnit {
  const file = YamlFile.read(path);
  const learned = readLearned(path);
  const differs = (key: 'profile' | 'circuit' | 'motor' | 'plan' | 'rig', wanted: string): void => {
    if (learned[key] !== wanted)
      throw file.fault(
        [key],
        `these limits are of ${learned[key]}, and this is ${wanted}`,
        'learn them of it',
      );
  };
  differs('profile', unit.unit.id);
  differs('circuit', unit.style.id);
  differs('motor', unit.motor.id);
  differs('plan', unit.plan.id);
  differs('rig', unit.rig.id);
  const sha256 = createHash('sha256').update(readFileSync(path)).digest('hex');
  return { ...unit, learned, learnedFile: { name: basename(path), sha256 } };
}

/** Where parts are looked for: a unit handed over as a file brings its motor along, units/x.yaml next to motors/y.yaml. */
export const dirsBeside = (path: string, profilesDir?: string): string[] => [
  ...new Set([dirname(path), dirname(dirname(path)), ...profileDirs(profilesDir)]),
];
/** Where a unit, by its id or path, has its parts looked for. */
export const dirsOfUnit = (unit: string | undefined): string[] =>
  unit !== undefined && looksLikePath(unit) ? dirsBeside(resolve(unit)) : profileDirs();

/** A unit with something that turns, and nobody says what: a motor without a sheet. */
function withMotor(unit: UnitProfile): UnitProfile {
  const isNamed = unit.motor !== undefined || unit.load !== undefined;
  const turns = unit.subject === 'motor' || unit.subject === 'harness-with-motor';
  return isNamed || !turns ? unit : { ...unit, motor: UNKNOWN_MOTOR };
}

/** @param ref id of a file under demo/, or path of a YAML file. @throws InputError */
export function loadTray(ref: string, profilesDir?: string): Tray {
  const { file, value: tray } = openRef('tray', ref, profileDirs(profilesDir));
  const seen = new Map<string, number>();
  for (const [index, { tag }] of tray.units.entries()) {
    const earlier = seen.get(tag);
    if (earlier !== undefined) {
      const line = file.lineOf(['units', earlier, 'tag']);
      throw file.fault(
        ['units', index, 'tag'],
        `'${tag}' stands already in line ${line}`,
        'give each unit its own tag',
      );
    }
    seen.set(tag, index);
  }
  return tray;
}

/** What the virtual bench has on it. @param ref id of a file under demo/cases/, or path. @throws InputError */
export function loadCase(ref: string, profilesDir?: string): VirtualCase {
  return openRef('case', ref, profileDirs(profilesDir)).value;
}

/**
 * @param ref id of a file under relays/, or path of a YAML file
 * @param unit id or path of a unit: looked for beside its file first. @throws InputError
 */
export function loadRelay(ref: string, unit?: string): RelayProfile {
  return openRef('relay', ref, dirsOfUnit(unit)).value;
}

/** @param ref id of a file under rigs/, or path of a YAML file. @throws InputError */
export function loadRig(ref: string, profilesDir?: string): RigProfile {
  const { file, value } = openRef('rig', ref, profileDirs(profilesDir));
  checkRig(file, value);
  return value;
}

/**
 * @param ref id of a file under circuits/, or path of a YAML file
 * @param unit id or path of a unit: looked for beside its file first. @throws InputError
 */
export const loadCircuit = (ref: string, unit?: string): CircuitStyle => openCircuit(ref, unit).value;

/** The same with the file that it stands in. @throws InputError */
export const openCircuit = (ref: string, unit?: string): Opened<'circuit'> =>
  openRef('circuit', ref, dirsOfUnit(unit));

/** @param ref id of a file under motors/, or path of a YAML file. @throws InputError */
export function loadMotor(ref: string, profilesDir?: string): MotorProfile {
  return openRef('motor', ref, profileDirs(profilesDir)).value;
}

/** Ids and titles of all profiles of a kind; a file that is faulty is listed with its fault in place of a title. */
export function listProfiles(
  kind: ProfileKind,
  profilesDir?: string,
): { id: string; title: string; fault?: string }[] {
  const dirs = profileDirs(profilesDir);
  return profileIds(kind, dirs).flatMap((id) => {
    const path = findProfile(kind, id, dirs);
    if (path === undefined) return [];
    try {
      const file = YamlFile.read(path);
      // demo/ holds units and trays side by side.
      if (kindOf(file) !== kind && kind !== 'circuit') return [];
      return [{ id, title: checkShape<z.ZodType<{ title: string }>>(SCHEMAS[kind], file).title }];
    } catch (error) {
      return [{ id, title: '', fault: (error as Error).message }];
    }
  });
}

export type Opened<K extends ProfileKind> = { file: YamlFile; value: z.output<(typeof SCHEMAS)[K]> };

function openRef<K extends ProfileKind>(
  kind: K,
  ref: string,
  dirs: readonly string[],
): Opened<K> & { path: string } {
  const path = resolveProfile(kind, ref, dirs);
  return { path, ...openProfile(kind, path, looksLikePath(ref)) };
}

/** A checked file of a kind. `byPath`: its id need not be its name. @throws InputError */
export function openProfile<K extends ProfileKind>(kind: K, path: string, byPath = false): Opened<K> {
  const file = YamlFile.read(path);
  const found = kindOf(file);
  if (typeof found === 'string' && found !== kind && found in SCHEMAS) {
    const mend = kind === 'parts' ? 'name a parts file' : `name the file of a ${kind}`;
    throw file.fault(['kind'], `this is ${aFileOf(found)} where ${aFileOf(kind)} is wanted`, mend);
  }
  const value = checkShape(SCHEMAS[kind] as unknown as z.ZodType<Opened<K>['value']>, file);
  for (const [place, what, mend] of partRefusals(kind, value)) throw file.fault(place, what, mend);
  const { id } = value as { id: string };
  const named = basename(path, extname(path));
  // What is looked up by its file name must be recorded by the same name.
  if (!byPath && id !== named) {
    throw file.fault(
      ['id'],
      `'${id}' differs from the file name`,
      `write ${named}, or name the file ${id}.yaml`,
    );
  }
  return { file, value };
}

const PART_RULES: { [K in ProfileKind]?: (part: z.output<(typeof SCHEMAS)[K]>) => Iterable<PartRefusal> } = {
  case: caseRules,
  motor: motorRules,
  parts: partsRules,
  relay: relayRules,
  rig: rigRules,
};

function partRefusals<K extends ProfileKind>(kind: K, value: Opened<K>['value']): Iterable<PartRefusal> {
  return PART_RULES[kind]?.(value) ?? [];
}

export function kindOf(file: YamlFile): unknown {
  const value = file.value();
  return typeof value === 'object' && value !== null && 'kind' in value ? value.kind : undefined;
}
