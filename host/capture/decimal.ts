// Decimal text to the nearest double, without building a string for the common case.
// Up to 15 digits and a power of ten up to 22 are exact in doubles, so one division or product rounds right
// (Clinger, "How to read floating point numbers accurately", 1990); everything else goes through Number().

import { sampleAt } from '../arrays/index.js';

export const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, power) => 10 ** power);

/** Result for a cell that is not a number, told apart from an empty one, which is NaN. */
export const NOT_A_NUMBER = Number.POSITIVE_INFINITY;

/**
 * Reads text[start, end): a finite decimal number, NaN for an empty cell (or one that says NaN), NOT_A_NUMBER for
 * anything else. `point` is the code of the decimal sign.
 */
export function readDecimal(text: string, start: number, end: number, point: number): number {
  let from = start;
  let to = end;
  while (from < to && text.charCodeAt(from) <= 32) from += 1;
  while (to > from && text.charCodeAt(to - 1) <= 32) to -= 1;
  if (from === to) return Number.NaN;
  let at = from;
  const first = text.charCodeAt(at);
  const isNegative = first === 45;
  if (isNegative || first === 43) at += 1;
  let mantissa = 0;
  let digits = 0;
  let decimals = -1;
  for (; at < to; at++) {
    const code = text.charCodeAt(at);
    if (code >= 48 && code <= 57) {
      mantissa = mantissa * 10 + (code - 48);
      // Leading zeros carry no weight.
      if (mantissa > 0) digits += 1;
      if (decimals >= 0) decimals += 1;
    } else if (code === point && decimals < 0) {
      decimals = 0;
    } else return slowly(text.slice(from, to), point);
  }
  if (digits > 15 || decimals > 22 || !isDigit(text.charCodeAt(to - 1)))
    return slowly(text.slice(from, to), point);
  const value = decimals > 0 ? mantissa / sampleAt(POWERS_OF_TEN, decimals) : mantissa;
  return isNegative ? -value : value;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;

function slowly(cell: string, point: number): number {
  const plain = point === 46 ? cell : cell.replace(String.fromCharCode(point), '.');
  if (/^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$/.test(plain)) {
    const value = Number(plain);
    return Number.isFinite(value) ? value : NOT_A_NUMBER;
  }
  return /^nan$/i.test(plain) ? Number.NaN : NOT_A_NUMBER;
}
