// Numbers as decimal digits, written into bytes: several times quicker than joining the texts of doubles.

/** Largest number that the machine divides as a whole one. */
const MOST_INT = 0x7fffffff;
/** ASCII. */
const MINUS = 0x2d;
const POINT = 0x2e;
const ZERO = 0x30;

export interface Scale {
  decimals: number;
  /** Ten to the decimals. */
  unit: number;
}

export const scaleOf = (decimals: number): Scale => ({ decimals, unit: 10 ** decimals });

/** Writes one number, without its trailing zeros, from `at` on and returns the place behind it. */
export function putNumber(bytes: Uint8Array, at: number, value: number, { decimals, unit }: Scale): number {
  const count = Math.round(Math.abs(value) * unit);
  let end = at;
  if (value < 0 && count > 0) bytes[end++] = MINUS;
  const whole = Math.floor(count / unit);
  end = putDigits(bytes, end, whole, digitsOf(whole));
  let fraction = count - whole * unit;
  if (fraction === 0) return end;
  let places = decimals;
  for (let shorter = fraction / 10; shorter === Math.floor(shorter); shorter = fraction / 10) {
    fraction = shorter;
    places--;
  }
  bytes[end] = POINT;
  return putDigits(bytes, end + 1, fraction, places);
}

export function digitsOf(count: number): number {
  let digits = 1;
  for (let most = 10; count >= most; most *= 10) digits++;
  return digits;
}

function putDigits(bytes: Uint8Array, at: number, count: number, digits: number): number {
  let left = count;
  let place = at + digits - 1;
  for (; left > MOST_INT; place--) {
    const higher = Math.floor(left / 10);
    bytes[place] = ZERO + left - 10 * higher;
    left = higher;
  }
  // What fits is divided as the machine divides whole numbers.
  for (let whole = left | 0; place >= at; place--) {
    const higher = (whole / 10) | 0;
    bytes[place] = ZERO + whole - 10 * higher;
    whole = higher;
  }
  return at + digits;
}
