// What the heading of a column says: its name, its unit, and what of a bench it speaks of.

import type { Channel } from './channels.js';
import { type Unit, unitOf } from './units.js';

export interface Heading {
  /** As the file writes it. */
  text: string;
  /** Without its unit. */
  name: string;
  unit: Unit | undefined;
}

const TIME_NAME =
  /^(?:(?:elapsed|rel(?:ative)?|rec(?:ord(?:ing)?)?|measurement|abs(?:olute)?|sample|sampling|log)[\s_-]*)?(?:time|zeit)(?:[\s_-]*(?:stamp|axis|base|elapsed))?$|^(?:t|x|x[\s_-]?axis|elapsed|date[\s_/-]*time|date (?:and|&) time|timestamp|ts|epoch|unix[\s_-]*time)$/i;
const DATE_NAME = /^date$/i;
const INDEX_NAME =
  /^(?:(?:sample|data|scan|rec(?:ord)?|row|point|measurement)s?[\s_-]*(?:no|nr|num(?:ber)?|#|index|count)?\.?|no\.?|nr\.?|n|#|index|idx|count|i(?:ndex)?[\s_-]?n(?:o|r))$/i;
const CURRENT_WORDS =
  /^(?:currents?|curr|amps?|amperes?|amperage|i\d*|i_?\w{1,8}|clamp|imot|ibat|imotor|isupply|ifeed|icoil)$/i;
const VOLTAGE_WORDS =
  /^(?:voltages?|volts?|volt|potential|[vu]\d+|vbat|vcc|vdd|vs|vsup(?:ply)?|vin|va|vb|ua|ub|ubat)$/i;

/** What a symbol before it speaks of. */
const BENCH_WORDS =
  /^(?:motor|mot|arm(?:ature)?|m|bat(?:tery)?|supply|sup|source|psu|bus|feed|in|lead|terminals?|coil|relay|clamp|across|diff|a|b|ab|dc)$/;

/** Parts of a name that may end in a letter which is a mark and no unit: channel A, lead A, motor A. */
const MARKED =
  /(?:^|[\s_.-])(?:ch|chan|channel|lead|terminal|motor|input|probe|phase|node|pin|wire|side|port|line|trace|v|u|i)$/i;

/** Splits a heading into name and unit: `Current (mA)`, `I[A]`, `ch1 in mV`, `Time, ms`, `t/ms`, `current_mA`. */
export function headingOf(text: string): Heading {
  const told = text.trim();
  const isUpper = told === told.toUpperCase();
  const whole = unitOf(told, isUpper);
  // A letter by itself may be a name; as a heading `A` and `V` are units, `i` and `t` are not.
  if (whole && !/^(?:[mkglnhc]|points?|samples?|counts?|raw|adc|bits?)$/i.test(told))
    return { text: told, name: told, unit: whole };
  const split = (name: string | undefined, unit: string | undefined): Heading | undefined => {
    const found = unit === undefined ? undefined : unitOf(unit, isUpper);
    return found && { text: told, name: (name ?? '').trim(), unit: found };
  };
  for (const group of told.matchAll(/[([{<]\s*([^()[\]{}<>]*?)\s*[)\]}>]/g)) {
    const found = split(told.replace(group[0], ' ').replace(/\s+/g, ' '), group[1]);
    // V(A) and I(S) name what is measured where, as circuit programs do.
    if (
      found &&
      !(
        /^[VIUviu]$/.test(found.name) &&
        (group[1] ?? '').length === 1 &&
        group[0].startsWith('(') &&
        conflicts(found)
      )
    )
      return found;
  }
  const inWords = /^(.*\S)\s+in\s+(\S+)$/i.exec(told);
  const signed = /^(.*\S)\s*[,/|:;]\s*([^,/|:;]+)$/.exec(told) ?? /^(.*\S)\s+-\s+(\S+)$/.exec(told);
  const found = split(inWords?.[1], inWords?.[2]) ?? split(signed?.[1], signed?.[2]);
  if (found) return found;
  const last = /^(.*[^\s_.])[\s_.]+(\S+?)$/.exec(told);
  if (last) {
    const [, name = '', end = ''] = last;
    const isSymbol =
      /^[pnuµμmk]?[sAV]$|^(?:min|msec|usec|nsec|sec|secs|seconds?|amps?|volts?|milli\w+|micro\w+|ma|mv)$/i.test(
        end,
      );
    const isMark = end.length === 1 && (end !== end.trim() || MARKED.test(name) || !/^[sAV]$/.test(end));
    if (isSymbol && !isMark) {
      const unit = split(name, end);
      if (unit) return unit;
    }
  }
  const camel = /^(.*[a-z0-9])(mA|mV|kA|kV|ms|us|ns|Ma|Mv|Ms|Us|A|V|S)$/.exec(told);
  if (camel) {
    const [, name = '', end = ''] = camel;
    const unit = end.length === 2 && /^[MU]/.test(end) ? end.toLowerCase() : end;
    if (saysOf(name) !== undefined && !MARKED.test(name)) {
      const made = split(name, unit);
      if (made) return made;
    }
  }
  return { text: told, name: told, unit: undefined };
}

const conflicts = (heading: Heading): boolean => {
  const says = saysOf(heading.name);
  return says !== undefined && says !== heading.unit?.kind;
};

/** The words of a name: cut at blanks, signs and changes of case. */
const wordsOf = (name: string): string[] =>
  name
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .split(/[\s_.\-/:+()[\]]+/)
    .filter((word) => word !== '')
    .map((word) => word.toLowerCase());

/** What a name by itself, without its unit, says that the column holds. */
export function saysOf(name: string): Unit['kind'] | undefined {
  const text = name.trim();
  if (TIME_NAME.test(text) || /^(?:time|elapsed)\b/i.test(text)) return 'time';
  const words = wordsOf(text);
  if (
    words.some((word) =>
      /^(?:temp|temperature|power|speed|rpm|energy|resistance|frequency|humidity)$/.test(word),
    )
  )
    return 'other';
  if (words.some((word) => /^currents?$/.test(word))) return 'current';
  if (/^[vu]$/i.test(text) || words.some((word) => VOLTAGE_WORDS.test(word))) return 'voltage';
  if (words.some((word) => /^(?:curr|amps?|amperes?|amperage)$/.test(word))) return 'current';
  const [first = '', ...more] = words;
  // V_motor, I motor: the symbol, and what of a bench it is of.
  if (/^[vui]$/.test(first) && more.length > 0 && more.every((word) => BENCH_WORDS.test(word)))
    return first === 'i' ? 'current' : 'voltage';
  if (
    /^[Ii]\b/.test(text) ||
    (more.length === 0 && /^I[A-Za-z]{0,8}\d*$/.test(text) && CURRENT_WORDS.test(first))
  )
    return INDEX_NAME.test(text) && !/^i\d*$/i.test(text) ? undefined : 'current';
  return undefined;
}

export const isTimeName = (name: string): boolean => TIME_NAME.test(name.trim());
export const isDateName = (name: string): boolean => DATE_NAME.test(name.trim());
export const isIndexName = (name: string): boolean => INDEX_NAME.test(name.trim());

/** What a heading's column holds, by its unit, else by its name. */
export const kindOf = ({ name, unit }: Heading): Unit['kind'] | undefined => unit?.kind ?? saysOf(name);

/** Whether a name speaks of the voltage between the motor's leads. */
export function isAcrossMotor(heading: Heading): boolean {
  if (kindOf(heading) !== 'voltage' || channelOf(heading) !== undefined) return false;
  const words = wordsOf(heading.name);
  return (
    words.some((word) => /^(?:motor|armature|[vu](?:mot(?:or)?|m|arm|ab))$/.test(word)) ||
    /^(?:(?:across|terminal|terminals)\b.*|(?:voltage )?(?:across|between) .*(?:motor|leads|terminals)|[vu] ?diff(?:erential)?)$/.test(
      words.join(' '),
    )
  );
}

/** The channel that a name speaks of, undefined where it only says current or voltage. */
export function channelOf({ name, unit }: Heading): Channel | undefined {
  const words = wordsOf(name);
  const has = (...any: string[]): boolean => any.some((word) => words.includes(word));
  const joined = words.join(' ');
  const kind = unit?.kind ?? saysOf(name);
  const isSupply = has(
    'supply',
    'battery',
    'bat',
    'vbat',
    'ubat',
    'source',
    'psu',
    'bus',
    'input',
    'vin',
    'vsupply',
    'vsup',
    'vs',
  );
  if (kind === 'current') {
    if (has('coil', 'relay', 'trigger', 'icoil')) return 'coilCurrentA';
    if (has('motor', 'armature', 'imot', 'imotor') || joined === 'motor') return 'motorCurrentA';
    if (isSupply || has('feed', 'ifeed', 'isupply', 'ibat')) return 'feedCurrentA';
    return undefined;
  }
  const lead =
    /(?:^| )(?:(?:motor )?(?:lead|terminal)|motor|v|u) ?([ab])(?:$| )/.exec(joined) ??
    /^[vu]([ab])$/.exec(joined);
  if (lead && (kind === 'voltage' || (kind === undefined && /lead|terminal/.test(joined))))
    return lead[1] === 'a' ? 'leadAVoltageV' : 'leadBVoltageV';
  if (isSupply && (kind === 'voltage' || joined === 'supply')) return 'supplyVoltageV';
  return undefined;
}
