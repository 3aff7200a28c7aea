// Learned limits as a file that a person reads: every number with its unit beside it, and what may be concluded on top.

import type { Learned, LearnedQuantity, LearnedTogether } from '../profile/index.js';
import { shapeWords } from './quantity-limits.js';

/** Digits that carry all that a bench can tell. */
const DIGITS = 6;

const number = (value: number, digits = DIGITS): string => String(Number(value.toPrecision(digits)));
const text = (value: string): string => JSON.stringify(value);
const percent = (part: number): string => `${number(100 * part, 4)} %`;

/** What so many good units allow to be said of further ones. */
export function mayConclude(units: number): string {
  if (units < 5)
    return `${units} units: wide limits, which find only what is grossly off. Ten or more make them narrow.`;
  if (units < 10)
    return `${units} units: limits that find what is clearly off. Ten or more make them narrower.`;
  return `${units} units: limits that find a good part of what is off.`;
}

/** The whole file. Read back by the profile's schema it is `learned` again, to six digits. */
export function learnedYaml(learned: Learned): string {
  const { units, coverage, confidence, supplyV, temperatureC, quantities, withoutLimits } = learned;
  const count = Object.keys(quantities).length;
  return [
    '# Limits from known good units, made by throwbench learn. Never written over: learn again into a new file.',
    `# All ${count} limits ${learned.together ? 'and that of the readings taken together' : 'together'} hold ${percent(coverage)} of good units, with ${percent(confidence)} confidence.`,
    `# ${mayConclude(units)}`,
    `# ${shapeWords(units)}`,
    'kind: learned',
    'version: 1',
    `title: ${text(learned.title)}`,
    `profile: ${text(learned.profile)}`,
    `circuit: ${text(learned.circuit)}`,
    `motor: ${text(learned.motor)}`,
    `plan: ${text(learned.plan)}`,
    `rig: ${text(learned.rig)}`,
    `learnedOn: ${text(learned.learnedOn)}`,
    `tool: ${text(learned.tool)}`,
    `units: ${units}`,
    `starts: ${learned.starts}`,
    `coverage: ${coverage}`,
    `confidence: ${confidence}`,
    `method: ${text(learned.method)}`,
    '# Seen at rest; further off than half a volt the limits say nothing.',
    `supplyV: { from: ${number(supplyV.from)}, to: ${number(supplyV.to)} }`,
    `# ${temperatureC.told ? 'By thermometer.' : 'Nobody read a thermometer: what the profile allows for.'}`,
    `temperatureC: { from: ${number(temperatureC.from)}, to: ${number(temperatureC.to)}, told: ${temperatureC.told} }`,
    '# Spreads are standard deviations: of the logarithm as a part of the centre, plain ones in the unit itself.',
    'quantities:',
    ...Object.entries(quantities).flatMap(([key, quantity]) => quantityLines(key, quantity)),
    ...(learned.together ? togetherLines(learned.together) : []),
    ...(withoutLimits
      ? [
          '# No limit, and why.',
          'withoutLimits:',
          ...Object.entries(withoutLimits).map(([key, why]) => `  ${key}: ${text(why)}`),
        ]
      : []),
    '# What they rest on: recorded runs by their hash in the record, captures by that of the file.',
    'runs:',
    ...learned.runs.map(
      ({ unit, run, sha256 }) => `  - { unit: ${text(unit)}, run: ${text(run)}, sha256: ${text(sha256)} }`,
    ),
    '',
  ].join('\n');
}

function togetherLines({ upper, coverage, confidence, shrunk, method, readings }: LearnedTogether): string[] {
  return [
    '# Readings taken together, those that are read finer than units spread: how far from the centres, in spreads, and how they hang together.',
    'together:',
    `  upper: ${number(upper)}`,
    `  coverage: ${coverage}`,
    `  confidence: ${confidence}`,
    `  shrunk: ${number(shrunk)}`,
    `  method: ${text(method)}`,
    '  readings:',
    ...readings.map(
      ({ reading, spread, correlation }) =>
        `    - { reading: ${text(reading)}, spread: ${number(spread)}, correlation: [${correlation.map((value) => number(value)).join(', ')}] }`,
    ),
  ];
}

function quantityLines(key: string, quantity: LearnedQuantity): string[] {
  const { lower, upper, withinUnit, supplyPower, atSupplyV } = quantity;
  return [
    `  ${key}:`,
    `    words: ${text(quantity.words)}`,
    `    unit: ${text(quantity.unit)}`,
    `    centre: ${number(quantity.centre)}`,
    ...(lower === undefined ? [] : [`    lower: ${number(lower)}`]),
    ...(upper === undefined ? [] : [`    upper: ${number(upper)}`]),
    `    betweenUnits: ${number(quantity.betweenUnits)}`,
    ...(withinUnit === undefined ? [] : [`    withinUnit: ${number(withinUnit)}`]),
    `    spread: ${quantity.spread}`,
    `    shape: ${quantity.shape}`,
    `    units: ${quantity.units}`,
    `    starts: ${quantity.starts}`,
    ...(supplyPower === undefined ? [] : [`    supplyPower: ${number(supplyPower)}`]),
    ...(atSupplyV === undefined ? [] : [`    atSupplyV: ${number(atSupplyV)}`]),
  ];
}
