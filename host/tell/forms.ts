// Temperatures, wire sizes and days in the forms that the reader is used to. Until somebody settles other ones, and in
// every thread but the one that tells, they are plain: degrees Celsius, wires as their profile states them, ISO 8601.
// What is judged, recorded, exported or told as JSON is made of plain ones, so that no setting can change it.

import { amount, fixed, shortly } from './numbers.js';
import { localTime } from './words.js';

export const TEMPERATURE_UNITS = ['C', 'F'] as const;
export const WIRE_UNITS = ['mm2', 'AWG'] as const;
export const DATE_FORMS = ['YYYY-MM-DD', 'DD.MM.YYYY', 'DD/MM/YYYY', 'MM/DD/YYYY'] as const;

export interface Forms {
  temperature: (typeof TEMPERATURE_UNITS)[number];
  /** Undefined: each size as it was stated. */
  wire?: (typeof WIRE_UNITS)[number] | undefined;
  date: (typeof DATE_FORMS)[number];
}

export const PLAIN_FORMS: Forms = { temperature: 'C', date: 'YYYY-MM-DD' };

let settled = PLAIN_FORMS;

/** From now on, in this thread. */
export const settleForms = (forms: Forms): void => {
  settled = forms;
};
export const formsNow = (): Readonly<Forms> => settled;

/** NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32; a difference of 1 °C is one of 1.8 °F. */
const F_PER_C = 1.8;
const F_AT_0_C = 32;
export const fahrenheit = (celsius: number): number => F_PER_C * celsius + F_AT_0_C;
/** To the hundredth: no thermometer tells more. */
export const celsius = (degreesF: number): number => Number(fixed((degreesF - F_AT_0_C) / F_PER_C, 2));

const isF = (): boolean => settled.temperature === 'F';

/** `25 °C`, `77 °F`: of a temperature in C. */
export const temperature = (degreesC: number, decimals = 0): string =>
  isF() ? amount(fahrenheit(degreesC), '°F', decimals) : amount(degreesC, '°C', decimals);

/** `20 °C ± 3 °C`, `68 °F ± 5.4 °F`: of a temperature and its half width in C. */
export const temperatureBand = (degreesC: number, plusMinusC: number): string =>
  isF()
    ? `${temperature(degreesC)} ± ${shortly(F_PER_C * plusMinusC, '°F')}`
    : `${temperature(degreesC)} ± ${amount(plusMinusC, '°C', 0)}`;

/** Temperatures as this program tells them: one, from one to another, one with its ±; decimals stay. */
const TOLD_C = /(-?\d+(?:\.\d+)?)(?:( to | ± )(-?\d+(?:\.\d+)?))? °C(?![A-Za-z])/g;
/** A day with its time behind it, which neither the id of a run nor a file's name has. */
const TOLD_DAY = /(?<![\d-])(\d{4}-\d\d-\d\d)(?= \d\d:\d\d)/g;

/**
 * A sentence of a judgement or of a doubt, in the reader's forms. Such sentences are kept in the record, so they are made
 * plain and told in other forms only where a person reads them. Not for what a person wrote: that stays as it was written.
 */
export function retold(sentence: string): string {
  const days = settled.date === PLAIN_FORMS.date ? sentence : sentence.replace(TOLD_DAY, shownDay);
  if (!isF()) return days;
  return days.replace(TOLD_C, (_, first: string, between = '', second = '') => {
    const degrees = (text: string): string => fixed(fahrenheit(Number(text)), decimalsOf(text));
    if (between === '') return `${degrees(first)} °F`;
    const end = between === ' ± ' ? shortly(F_PER_C * Number(second)) : degrees(second);
    return `${degrees(first)}${between}${end} °F`;
  });
}

const decimalsOf = (text: string): number => text.split('.')[1]?.length ?? 0;

/** Cross-section of an AWG size in mm2, d = 0.127 mm x 92^((36-n)/39) (ASTM B258). */
export function awgAreaMm2(awg: number): number {
  const diameterMm = 0.127 * 92 ** ((36 - awg) / 39);
  return (Math.PI / 4) * diameterMm * diameterMm;
}

/** `AWG 14`; above size 0 as such wire is sold: `AWG 2/0`. */
export const gauge = (awg: number): string => `AWG ${awg > 0 ? awg : awg === 0 ? '0' : `${1 - awg}/0`}`;

/** The gauges that there are: 4/0 to 40. */
const THICKEST = -3;
const THINNEST = 40;
/** Nearer than this it is that gauge; the next one has 26 % more. Choice of this program, no source. */
const SAME_AREA = 0.02;

/** The gauge of a cross-section, between whole ones too. */
function exactGauge(areaMm2: number): number {
  const diameterMm = Math.sqrt((4 * areaMm2) / Math.PI);
  return 36 - (39 * Math.log(diameterMm / 0.127)) / Math.log(92);
}

/** `AWG 14`, `about AWG 13 (thinner)`: the gauge nearest to a cross-section, and which way the wire differs from it. */
function nearestGauge(areaMm2: number): string {
  const awg = Math.min(THINNEST, Math.max(THICKEST, Math.round(exactGauge(areaMm2))));
  const part = areaMm2 / awgAreaMm2(awg) - 1;
  return Math.abs(part) <= SAME_AREA
    ? gauge(awg)
    : `about ${gauge(awg)} (${part > 0 ? 'thicker' : 'thinner'})`;
}

/** A size is stated in mm2 or as a gauge. */
export interface StatedSize {
  areaMm2?: number | undefined;
  awg?: number | undefined;
}

/** `2.5 mm²`, `AWG 14`, `about AWG 13 (thinner)`. */
export function wireSize({ areaMm2, awg }: StatedSize): string {
  if (awg === undefined)
    return settled.wire === 'AWG' && areaMm2 !== undefined ? nearestGauge(areaMm2) : `${areaMm2} mm²`;
  return settled.wire === 'mm2' ? shortly(awgAreaMm2(awg), 'mm²') : gauge(awg);
}

/** What is proposed for a wire of about this size: where gauges are read the nearest even one, as most are sold (common practice, no source). */
export function proposedSize(areaMm2: number): StatedSize {
  if (settled.wire !== 'AWG') return { areaMm2 };
  return { awg: 2 * Math.round(exactGauge(areaMm2) / 2) };
}

/** `2026-11-30`, `30.11.2026`: of a day in ISO 8601. */
export function shownDay(isoDay: string): string {
  const [year = '', month = '', day = ''] = isoDay.split('-');
  return settled.date.replace('YYYY', year).replace('MM', month).replace('DD', day);
}

/** `2026-11`, `11.2026`, `11/2026`: of a month in ISO 8601. */
export function shownMonth(isoMonth: string): string {
  const [year = '', month = ''] = isoMonth.split('-');
  if (settled.date === PLAIN_FORMS.date) return isoMonth;
  return `${month}${settled.date.includes('.') ? '.' : '/'}${year}`;
}

/** Day and time of the clock on the reader's wall, to the second. */
export function dayTime(date: Date): string {
  const { day, time } = localTime(date);
  return `${shownDay(day)} ${time}`;
}

/** `2026-11-30T08:00:00Z`, `30.11.2026 08:00:00Z`: of ISO 8601 in universal time. */
export function universalTime(iso: string): string {
  const [day = '', time = ''] = [iso.slice(0, 10), iso.slice(11, 19)];
  return settled.date === PLAIN_FORMS.date ? `${day}T${time}Z` : `${shownDay(day)} ${time}Z`;
}

/**
 * The ISO day that somebody typed: in ISO, with points day first, with strokes as `date` settles it. Undefined for what is
 * no such day, and for strokes where nothing says what stands first.
 */
export function typedDay(text: string, date: Forms['date']): string | undefined {
  const forms = DATE_FORMS.filter((form) => !form.includes('/') || form === date);
  for (const form of forms) {
    const pattern = form.replaceAll('.', '\\.').replace('YYYY', '(?<y>\\d{4})');
    const found = new RegExp(
      `^${pattern.replace('MM', '(?<m>\\d{1,2})').replace('DD', '(?<d>\\d{1,2})')}$`,
    ).exec(text.trim())?.groups;
    if (found === undefined) continue;
    const { y = '', m = '', d = '' } = found;
    if (form === PLAIN_FORMS.date && (m.length < 2 || d.length < 2)) continue;
    const meant = new Date(Number(y), Number(m) - 1, Number(d));
    if (meant.getDate() === Number(d) && meant.getMonth() === Number(m) - 1) return localTime(meant).day;
  }
  return undefined;
}
