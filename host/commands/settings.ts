// What this workshop has settled: one YAML file, each key checked by itself. It stands where the platform keeps settings
// (XDG Base Directory on Unix); THROWBENCH_SETTINGS names another.

import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { parseDocument } from 'yaml';
import * as z from 'zod';
import { known } from '../fields/index.js';
import { displayPath, InputError, nearestName } from '../input/index.js';
import { checkShape, YamlFile } from '../profile/index.js';
import { SETTINGS_VARIABLE, settingsPath } from '../program/index.js';
import { DATE_FORMS, type Forms, TEMPERATURE_UNITS, WIRE_UNITS } from '../tell/index.js';

export { SETTINGS_VARIABLE, settingsPath };

/** No character of a tag, so that a foot switch is never taken for one. */
const START_KEYS = ['+', '*', '=', '#', ';', ','] as const;
const name = z.string().min(1).max(60);

/** Width and height, mm. */
export const LABEL_SIZE = /^(\d{1,3}(?:\.\d)?) ?[x×] ?(\d{1,3}(?:\.\d)?)$/i;

const settingsSchema = z.strictObject({
  port: name.optional(),
  rig: name.optional(),
  profiles: z.record(z.string().min(1).max(24), name).optional(),
  operator: name.optional(),
  'start-key': z.enum(START_KEYS).optional(),
  bell: z.boolean().optional(),
  short: z.boolean().optional(),
  'ask-way': z.boolean().optional(),
  shop: z.string().min(1).max(200).optional(),
  paper: z.enum(['a4', 'letter']).optional(),
  label: z.string().regex(LABEL_SIZE, 'should be width x height in mm, such as 60x30').optional(),
  temperature: z.enum(TEMPERATURE_UNITS).optional(),
  wire: z.enum(WIRE_UNITS).optional(),
  date: z.enum(DATE_FORMS).optional(),
  store: z.string().min(1).max(500).optional(),
});
type Written = z.infer<typeof settingsSchema>;

/** What each key is for, as `settings` shows it. */
export const SETTING_WORDS: Readonly<Record<keyof Written, string>> = {
  port: 'serial port of the rig, opened without asking',
  rig: 'id of the rig that must be on it',
  profiles: 'profile by how a tag begins, such as profiles.V- window-lift-switch',
  operator: 'who is at the bench, kept with each run',
  'start-key': 'what a foot switch types in place of Enter: one of + * = # ; ,',
  bell: 'true: one stroke for a pass, three for a fail, two for cannot tell',
  short: 'true: the short plan, two seconds of throws and rests, where it fits',
  'ask-way': 'true: after a run, ask which way the output went when it was thrown forward',
  shop: "name and address at the head of a run's sheet, lines apart by a semicolon",
  paper: 'of a sheet: a4 or letter',
  label: 'size of a label, width x height in mm: 60x30 where nothing is settled',
  temperature: 'C or F: temperatures as a person reads them; programs are told °C',
  wire: 'mm2 or AWG: sizes of wires as a person reads them; else as each is stated',
  store: "the shop's server: postgres://bench@server/shop; THROWBENCH_STORE wins over it",
  date: `days as a person reads them: ${DATE_FORMS.join(', ')}`,
};

/** Other ways to type a value; anything else is taken as it was typed. */
const ALSO: Readonly<Partial<Record<keyof Written, (typed: string) => string>>> = {
  temperature: (typed) => typed.replace(/^°/, '').toUpperCase(),
  wire: (typed) => (/^awg$/i.test(typed) ? 'AWG' : typed.toLowerCase().replace('²', '2')),
  date: (typed) => typed.toUpperCase(),
  paper: (typed) => typed.toLowerCase(),
};

export interface Settings {
  port?: string;
  rig?: string;
  /** Profile by how a tag begins; the longest beginning wins. */
  profiles?: Readonly<Record<string, string>>;
  operator?: string;
  /** What a foot switch types in place of Enter. */
  startKey?: string;
  bell?: boolean;
  /** The short plan wherever it fits. */
  short?: boolean;
  /** Asked after a run: which way the output went when it was thrown forward. */
  askWay?: boolean;
  /** Name and address, lines apart by a semicolon. */
  shop?: string;
  paper?: 'a4' | 'letter';
  /** Width x height in mm. */
  label?: string;
  temperature?: Forms['temperature'];
  /** Sizes of wires. */
  wire?: NonNullable<Forms['wire']>;
  date?: Forms['date'];
  /** Address of the shop's server; may hold a password. */
  store?: string;
}

/** @throws InputError with file and line for what cannot be meant. Nothing is settled where there is no file. */
export function readSettings(path = settingsPath()): Settings {
  const { 'start-key': startKey, 'ask-way': askWay, ...rest } = readWritten(path);
  return known({ ...rest, startKey, askWay });
}

function readWritten(path: string): Written {
  return saysSomething(path) ? checkShape(settingsSchema, YamlFile.read(path)) : {};
}

/** A file whose last key was taken away, or in which all is a comment, settles nothing and is no faulty one. */
function saysSomething(path: string): boolean {
  if (!existsSync(path)) return false;
  try {
    return readFileSync(path, 'utf8')
      .split('\n')
      .some((line) => !/^\s*(#.*)?$/.test(line));
  } catch {
    // Told by what reads it whole.
    return true;
  }
}

const SWITCHES: readonly string[] = ['bell', 'short', 'ask-way'];

/** Yes or no as people type it; anything else as it is, to be refused. */
function switched(typed: string): boolean | string {
  if (/^(true|yes|on)$/i.test(typed)) return true;
  return /^(false|no|off)$/i.test(typed) ? false : typed;
}

/**
 * Sets `key` to `value`, or removes it; comments and order of the file stay.
 * @param key a key of the file, or `profiles.` and how a tag begins
 * @throws InputError for a key or value that cannot be meant; the file is then as it was
 */
export function changeSetting(key: string, value: string | undefined, path = settingsPath()): void {
  const beginning = /^profiles\.(.+)$/.exec(key)?.[1];
  const at = beginning === undefined ? [key] : ['profiles', beginning];
  // Read for its faults, so that a faulty file is not written over.
  const before = saysSomething(path) ? YamlFile.read(path) : undefined;
  if (!(beginning !== undefined || (key !== 'profiles' && key in SETTING_WORDS))) {
    const near = nearestName(key, Object.keys(SETTING_WORDS));
    const mend = near ? `did you mean ${near}?` : `known: ${Object.keys(SETTING_WORDS).join(', ')}`;
    throw new InputError({ file: key, what: 'no such setting', mend });
  }
  const document = parseDocument(existsSync(path) ? readFileSync(path, 'utf8') : '');
  if (value !== undefined) {
    const meant = ALSO[key as keyof Written]?.(value.trim()) ?? value;
    document.setIn(at, SWITCHES.includes(key) ? switched(meant) : meant);
  } else if (before !== undefined) document.deleteIn(at);
  const left = document.toJS() as object | null;
  const text = left === null || Object.keys(left).length === 0 ? '' : document.toString();
  if (text !== '') checkShape(settingsSchema, YamlFile.parse(text, displayPath(path)));
  try {
    mkdirSync(dirname(path), { recursive: true });
    // Whole or not at all.
    writeFileSync(`${path}.part`, text);
    renameSync(`${path}.part`, path);
  } catch (error) {
    rmSync(`${path}.part`, { force: true });
    const what = `cannot be written (${(error as NodeJS.ErrnoException).code})`;
    throw new InputError({
      file: displayPath(path),
      what,
      mend: `check the folder, or set ${SETTINGS_VARIABLE}`,
    });
  }
}
