// Temperatures and wire sizes as somebody typed them, in either of the units that there are.

import { celsius, fahrenheit, fixed, formsNow } from '../tell/index.js';
import { type NumberWanted, numberTold, UsageError } from './command.js';

const TEMPERATURE = /^\s*(-?\d+(?:[.,]\d+)?|-?[.,]\d+)\s*°?\s*([CF])\s*$/i;

/**
 * A temperature in C; a number alone is one in C, as the option's name or its help says.
 * @throws UsageError for what is none, or lies outside `wanted`, which is in C
 */
export function celsiusTold(
  name: string,
  text: string | undefined,
  wanted: Omit<NumberWanted, 'what'>,
): number | undefined {
  const [, number = '', unit = ''] = TEMPERATURE.exec(text ?? '') ?? [];
  if (unit === '') return numberTold(name, text, { ...wanted, what: 'degrees Celsius' });
  const typed = Number(number.replace(',', '.'));
  if (unit.toUpperCase() === 'C')
    return numberTold(name, String(typed), { ...wanted, what: 'degrees Celsius' });
  const value = celsius(typed);
  if (value >= wanted.least && value <= wanted.most) return value;
  const told = (degreesC: number): string => `${fixed(fahrenheit(degreesC), 0)}F`;
  throw new UsageError(
    `--${name} '${text}' should be from ${told(wanted.least)} to ${told(wanted.most)}, such as ${told(wanted.example)}`,
  );
}

/**
 * The same where nothing but the help says which unit is meant.
 * @throws UsageError also for a number alone where this workshop reads degrees Fahrenheit: 54 might mean either
 */
export function celsiusNamed(
  name: string,
  text: string,
  wanted: Omit<NumberWanted, 'what'>,
  { temperature } = formsNow(),
): number | undefined {
  if (temperature === 'F' && Number.isFinite(Number(text)) && text.trim() !== '')
    throw new UsageError(`${name} '${text}' could be °C or °F: say ${text.trim()}F or ${text.trim()}C`);
  return celsiusTold(name, text, wanted);
}

/** The gauge in `AWG 14`, `14 AWG`, `2/0 AWG`, `AWG 00`; undefined for what names none. */
export function gaugeTyped(text: string): number | undefined {
  const named = /^\s*AWG\s*(\d+|\d+\/0)\s*$|^\s*(\d+|\d+\/0)\s*AWG\s*$/i.exec(text);
  const gauge = named?.[1] ?? named?.[2];
  if (gauge === undefined) return undefined;
  if (gauge.endsWith('/0')) return 1 - Number(gauge.slice(0, -2));
  return /^0+$/.test(gauge) ? 1 - gauge.length : Number(gauge);
}
