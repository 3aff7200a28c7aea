// Measured quantities for people and for programs: one line each with its ±, or the JSON shape of `judge --json`.

import type { Measured, Quantity } from '../measure/index.js';

export type QuantityJson = Pick<Quantity, 'value' | 'unit' | 'expandedUncertainty'>;

/** Names carry units; what was not measured is absent, never zero. */
export function measuredJson(measured: Measured): Record<string, QuantityJson> {
  return Object.fromEntries(
    Object.entries(measured).map(([name, { value, unit, expandedUncertainty }]) => [
      name,
      { value, unit, expandedUncertainty },
    ]),
  );
}

const GROUP = /^(rest|zero|forward\d*|reverse\d*)(?=[A-Z])/;
/** Units at the end of a name; the reading shows its own. */
const UNIT = /(?:Hz|Ohm|Percent|Rpm|VsPerRad|NmPerA|KgM2|Nms|Nm|[AVSJHF])$/;

const SHOWN: Record<string, string> = { Ohm: 'Ω' };
/** Units that read better by the thousandth below this. */
const MILLI_BELOW: Record<string, number> = { Ohm: 1, s: 1, A: 0.1, J: 0.1 };

/** No rig tells more of what is read in these units: digits of a value, and decimals. */
const MOST_DIGITS = 6;
const MOST_DECIMALS: Record<string, number> = { V: 6, A: 6, s: 6, Ohm: 6, J: 6, Hz: 3, rpm: 2, '%': 3 };

/**
 * Value and 95 % uncertainty, to the same decimals, the uncertainty with two significant digits (GUM 7.2.6); where that
 * is finer than a bench can tell, with what decimals are left, the uncertainty rounded up.
 */
export function quantityText({ value, unit, expandedUncertainty }: QuantityJson): string {
  if (unit === '1') return value.toFixed(0);
  const isMilli = Math.max(Math.abs(value), expandedUncertainty) < (MILLI_BELOW[unit] ?? 0);
  const factor = isMilli ? 1000 : 1;
  const shown = `${isMilli ? 'm' : ''}${SHOWN[unit] ?? unit}`;
  const spread = factor * expandedUncertainty;
  if (!(spread > 0)) return `${Number((factor * value).toPrecision(4))} ${shown}`;
  // Rounding to two digits first: 0.0996 is 0.10, not 0.100.
  const power = Math.floor(Math.log10(Number(spread.toPrecision(2))));
  const whole = value === 0 ? 0 : Math.floor(Math.log10(Math.abs(factor * value)));
  const most = MOST_DECIMALS[unit];
  const finest = most === undefined ? 9 : Math.min(most - (isMilli ? 3 : 0), MOST_DIGITS - 1 - whole);
  const decimals = Math.max(0, Math.min(finest, 1 - power));
  const number = (factor * value).toFixed(decimals).replace(/^-(0(?:\.0*)?)$/, '$1');
  return `${number} ± ${Math.max(spread, 10 ** -decimals).toFixed(decimals)} ${shown}`;
}

/** Lines in groups: rest, each throw, the whole. Empty when nothing was measured. */
export function measuredLines(measured: Measured): string[] {
  const groups = new Map<string, [string, string][]>();
  for (const [name, quantity] of Object.entries(measured)) {
    const group = GROUP.exec(name)?.[1] ?? 'run';
    const rest = group === 'run' ? name : name.slice(group.length);
    const words = rest
      .replace(UNIT, '')
      .replace(/(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])/g, ' ')
      .toLowerCase();
    const lines = groups.get(group) ?? [];
    lines.push([words, quantityText(quantity)]);
    groups.set(group, lines);
  }
  const width = Math.max(0, ...[...groups.values()].flat().map(([words]) => words.length));
  return [...groups].flatMap(([group, lines], index) => [
    ...(index === 0 ? [] : ['']),
    group.replace(/(\d+)$/, ' $1'),
    ...lines.map(([words, text]) => `  ${words.padEnd(width)}  ${text}`),
  ]);
}
