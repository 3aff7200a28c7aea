// The two-dimensional code of a sheet (QR code, ISO/IEC 18004), as SVG or in a PDF, on a white ground with its quiet zone.

import bwip from 'bwip-js';

/** The library draws a module two units wide, here twice as large; a reader wants four free around (ISO/IEC 18004, 5.3.8). */
const SCALE = 2;
const UNITS_OF_MODULE = 2;
const QUIET_MODULES = 4;
const QUIET = QUIET_MODULES * UNITS_OF_MODULE;

export const codeSvg = (text: string): string =>
  bwip.toSVG({
    bcid: 'qrcode',
    text,
    scale: SCALE,
    padding: QUIET,
    backgroundcolor: 'FFFFFF',
  });

/** Modules along its side, quiet zone and all. */
export const modulesOf = (text: string): number => modules(text).side + 2 * QUIET_MODULES;

/** Its dark modules, black on a white ground. @param side quiet zone and all; points */
export function setCode(
  doc: PDFKit.PDFDocument,
  text: string,
  { x, y, side }: { x: number; y: number; side: number },
): void {
  const code = modules(text);
  const module = side / modulesOf(text);
  doc.rect(x, y, side, side).fill('#ffffff');
  // One path for all, so that no hairline shows between two modules.
  for (const { row, from, count } of darkRuns(code)) {
    const [left, top] = [x + (QUIET_MODULES + from) * module, y + (QUIET_MODULES + row) * module];
    doc.rect(left, top, count * module, module);
  }
  doc.fill('#000000');
}

interface Modules {
  /** Without the quiet zone. */
  side: number;
  /** Row by row, 1 where dark. */
  dark: readonly number[];
}

/** To choose among the masks of a code takes most of its time, and a label asks for its size first. */
const known = new Map<string, Modules>();
/** So many labels are printed in one go; some 5 KB each. Choice of this program, no source. */
const MOST_KNOWN = 500;

function modules(text: string): Modules {
  const before = known.get(text);
  if (before !== undefined) return before;
  const [code] = bwip.raw({ bcid: 'qrcode', text });
  if (code === undefined || !('pixs' in code)) throw new RangeError(`no code of ${text.length} letters`);
  const made = { side: code.pixx, dark: code.pixs };
  known.set(text, made);
  const [oldest] = known.keys();
  if (known.size > MOST_KNOWN && oldest !== undefined) known.delete(oldest);
  return made;
}

function* darkRuns({ side, dark }: Modules): Iterable<{ row: number; from: number; count: number }> {
  for (let row = 0; row < side; row++) {
    let count = 0;
    for (let column = 0; column <= side; column++) {
      if (column < side && dark[row * side + column] === 1) count += 1;
      else if (count > 0) {
        yield { row, from: column - count, count };
        count = 0;
      }
    }
  }
}
