// The two-dimensional code of a sheet (QR code, ISO/IEC 18004), as SVG on a white ground with its quiet zone.

import bwip from 'bwip-js';

/** Modules are this many units; a reader wants four of them free around (ISO/IEC 18004, 5.3.8). */
const MODULE = 2;
const QUIET = 4;

export const codeSvg = (text: string): string =>
  bwip.toSVG({
    bcid: 'qrcode',
    text,
    scale: MODULE,
    padding: QUIET,
    backgroundcolor: 'FFFFFF',
  });
