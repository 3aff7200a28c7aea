// The numbers of one profile as rows of a table: what it is, its value with its tolerance and unit, where it comes from.

import type { ProfileKind } from '../../profile/index.js';
import { jsonSchemaOf, SCHEMAS, type YamlFile } from '../../profile/index.js';
import { briefUnit, milli, retold, significant, wireSize } from '../../tell/index.js';

/** What a person calls a key of a file; others are told by their own name, spaced. */
const WORDS: Readonly<Record<string, string>> = {
  nominalVoltageV: 'made for',
  runningA: 'running',
  heldA: 'held',
  resistanceOhm: 'resistance',
  inductanceH: 'inductance',
  backEmfVsPerRad: 'back-EMF constant',
  torqueNmPerA: 'torque constant',
  inertiaKgM2: 'inertia',
  viscousNms: 'friction with speed',
  coulombNm: 'friction at any speed',
  reverseFrictionRatio: 'friction reverse over forward',
  brushDropV: 'brush drop',
  brushKneeA: 'brush drop reached at',
  suppressionCapacitorF: 'suppression capacitor',
  longestHoldS: 'longest throw',
  opensFromS: 'protector opens from',
  opensToS: 'protector opens by',
  segments: 'segments of the commutator',
  amplitude: 'ripple either way',
  coilResistanceOhm: 'coil resistance',
  coilInductanceH: 'coil inductance',
  closedInductanceRatio: 'coil inductance closed over open',
  pullInVoltageV: 'pull-in',
  dropOutVoltageV: 'drop-out',
  operateS: 'operate time',
  releaseS: 'release time',
  transferS: 'transfer gap',
  makeResistanceOhm: 'contact to 87',
  breakResistanceOhm: 'contact to 87a',
  ratedPowerW: 'rated power',
  adcBits: 'bits of the converter',
  clockUncertaintyPercent: 'uncertainty of the clock',
  sourceResistanceOhm: 'resistance of the supply',
  feedShuntOhm: 'shunt of the feed',
  motorShuntOhm: 'shunt of the motor',
  feedContactOhm: 'rest of the feed',
  limitedFeedOhm: 'limited feed',
  limitedCoilFeedOhm: 'limited feed of the coils',
  leadLoadOhm: 'load on each lead',
  leadClampV: 'suppressor across the motor',
  deadTimeS: 'rest between opposite throws',
  travelS: 'travel from end to end',
  lengthM: 'length of the wires',
  areaMm2: 'size of the wires',
  awg: 'size of the wires, AWG',
  temperatureC: 'ambient',
};

/** Mappings whose keys say all by themselves. */
const SPEAKS_FOR_ITSELF = new Set(['wiring', 'protector', 'ripple']);

const spaced = (key: string): string => key.replace(/([A-Z])/g, ' $1').toLowerCase();

type Row = [words: string, value: string, from: string];

/** A row for each number, also of mappings inside; keys that the file leaves to their default say so. */
export function numberRows(kind: ProfileKind, file: YamlFile, value: object): Row[] {
  const written = file.value() as Record<string, unknown>;
  const { properties = {} } = jsonSchemaOf(SCHEMAS[kind]);
  return Object.entries(value).flatMap(([key, inner]): Row[] => {
    const from = key in written ? file.commentOf(key) : 'not in the file: the usual value';
    return rowsOf(key, inner, properties[key]).map(([words, told], at) => [
      words,
      told,
      at === 0 ? from : '',
    ]);
  });
}

function rowsOf(key: string, value: unknown, schema: unknown): [string, string][] {
  const words = WORDS[key] ?? spaced(key);
  const unit = unitIn(schema);
  if (typeof value === 'number') return [[words, sizeOf(key, value) ?? amountOf(value, unit)]];
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return [];
  const fields = value as Record<string, unknown>;
  const { nominal, tolerancePercent, plusMinus, least, most } = fields;
  if (typeof nominal === 'number' && typeof tolerancePercent === 'number')
    return [[words, `${amountOf(nominal, unit)} ± ${tolerancePercent} %`]];
  if (typeof nominal === 'number' && typeof plusMinus === 'number')
    return [[words, retold(`${nominal} ± ${plusMinus} ${unit === '' ? '°C' : unit}`)]];
  if (typeof least === 'number' && typeof most === 'number')
    return [[words, `${least} to ${most} ${briefUnit(unit)}`.trimEnd()]];
  const properties = propertiesOf(schema, fields);
  return Object.entries(fields).flatMap(([name, inner]) =>
    rowsOf(name, inner, properties[name]).map(([inside, told]): [string, string] => [
      SPEAKS_FOR_ITSELF.has(key) ? inside : `${words}, ${inside}`,
      told,
    ]),
  );
}

/** Of several mappings that a schema allows, the one that has all keys of the value. */
function propertiesOf(schema: unknown, value: object): Record<string, unknown> {
  const {
    properties,
    anyOf = [],
    oneOf = [],
  } = (schema ?? {}) as {
    properties?: Record<string, unknown>;
    anyOf?: unknown[];
    oneOf?: unknown[];
  };
  if (properties) return properties;
  const inside = [...anyOf, ...oneOf].map((one) => propertiesOf(one, value));
  const keys = Object.keys(value);
  return (
    inside.find(
      (one) =>
        keys.every((key) => key in one) &&
        keys.every((key) => {
          const { const: said } = (one[key] ?? {}) as { const?: unknown };
          return said === undefined || said === (value as Record<string, unknown>)[key];
        }),
    ) ?? {}
  );
}

/** The unit that a schema states, of the number itself or inside its tolerance. */
function unitIn(schema: unknown): string {
  if (typeof schema !== 'object' || schema === null) return '';
  const { unit, anyOf, properties } = schema as {
    unit?: unknown;
    anyOf?: unknown[];
    properties?: Record<string, unknown>;
  };
  if (typeof unit === 'string') return unit;
  return (
    [...(anyOf ?? []), properties?.nominal, properties?.least].map(unitIn).find((one) => one !== '') ?? ''
  );
}

/** Units that are read by the thousandth below one. */
const BY_THOUSANDTH = new Set(['Ohm', 'H', 's', 'N m', 'V s/rad', 'N m/A']);

/** Of a wire, in the reader's unit; undefined for other keys. */
const sizeOf = (key: string, value: number): string | undefined =>
  key === 'areaMm2' ? wireSize({ areaMm2: value }) : undefined;

function amountOf(value: number, unit: string): string {
  if (BY_THOUSANDTH.has(unit) && value !== 0 && Math.abs(value) < 0.1)
    return milli(Number(value.toPrecision(4)), unit, value < 0.01 ? 2 : 1).replace(/\.?0+ /, ' ');
  if (unit === 'Ohm' && value >= 1000) return significant(value, 3, unit);
  const text = Math.abs(value) < 1e-3 && value !== 0 ? value.toExponential() : String(value);
  return retold(`${text} ${briefUnit(unit)}`.trimEnd());
}
