// The two-dimensional code of a sheet (QR code, ISO/IEC 18004), as SVG on a white ground with its quiet zone.

import bwip from 'bwip-js';

/** The library draws a module two units wide, here twice as large; a reader wants four free around (ISO/IEC 18004, 5.3.8). */
const SCALE = 2;
const UNITS_OF_MODULE = 2;
const QUIET = 4 * UNITS_OF_MODULE;

export const codeSvg = (text: string): string =>
  bwip.toSVG({
    bcid: 'qrcode',
    text,
    scale: SCALE,
    padding: QUIET,
    backgroundcolor: 'FFFFFF',
  });

/** Modules along its side, quiet zone and all. */
export function modulesOf(text: string): number {
  const [, side = '0'] = /viewBox="0 0 (\d+)/.exec(codeSvg(text)) ?? [];
  return Number(side) / (UNITS_OF_MODULE * SCALE);
}
