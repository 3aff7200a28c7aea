// The symbols between the pins of a part, as paths: contacts as they stand, coils, motors, fuses, diodes. After the
// general forms of IEC 60617, simplified.

import { itemAt } from '../../arrays/index.js';
import { n } from '../svg.js';
import type { BoxKind } from './drawing.js';
import type { Point } from './layout.js';

export interface Ends {
  /** Inner ends of the pins' stubs, common contact first. */
  pins: readonly (Point & { isUp: boolean; isClosed: boolean })[];
  top: number;
  bottom: number;
}

export interface Strokes {
  thin: string;
  thick: string;
  /** Closed outlines that cover what lies under them. */
  shapes: string;
  letters: { x: number; y: number; text: string }[];
}

const NONE: Strokes = { thin: '', thick: '', shapes: '', letters: [] };
const line = (...points: readonly Point[]): string =>
  points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${n(x)} ${n(y)}`).join('');
const circle = ({ x, y }: Point, r: number): string =>
  `M${n(x - r)} ${n(y)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;

const DOT = 2.4;
const REACH = 5;

/** A moving contact on its pivot half way, the fixed ones at the edges. */
export function contactSymbol({ pins, top, bottom }: Ends): Strokes {
  const [common, ...fixed] = pins;
  if (common === undefined) return NONE;
  const middle = (top + bottom) / 2;
  const pivot = { x: common.x, y: common.isUp ? middle - REACH : middle + REACH };
  const stops = fixed.map((pin) => ({
    ...pin,
    at: { x: pin.x, y: pin.isUp ? top + REACH : bottom - REACH },
  }));
  const closed = stops.find(({ isClosed }) => isClosed);
  // Lifted off, it stands free between its contacts.
  const free = { x: pivot.x + 9, y: common.isUp ? bottom - 12 : top + 12 };
  return {
    thin: [line(common, pivot), ...stops.map(({ x, y, at }) => line({ x, y }, at))].join(''),
    thick: line(pivot, closed?.at ?? free),
    shapes: [circle(pivot, DOT), ...stops.map(({ at }) => circle(at, DOT))].join(''),
    letters: [],
  };
}

/** A coil, between its two pins one under the other. */
export function coilSymbol({ pins, top, bottom }: Ends): Strokes {
  const one = itemAt(pins, 0);
  const middle = (top + bottom) / 2;
  const box = { left: one.x - 11, top: middle - 9, width: 22, height: 18 };
  return {
    ...NONE,
    thin:
      pins.map((pin) => line(pin, { x: pin.x, y: middle })).join('') +
      line({ x: box.left, y: box.top + box.height }, { x: box.left + 7, y: box.top }),
    shapes: `M${n(box.left)} ${n(box.top)}h${box.width}v${box.height}h${-box.width}Z`,
  };
}

export function partSymbol(kind: BoxKind, ends: Ends): Strokes {
  const { pins, top, bottom } = ends;
  const x = pins.reduce((sum, pin) => sum + pin.x, 0) / Math.max(1, pins.length);
  const y = (top + bottom) / 2;
  const through = pins.map((pin) => line(pin, { x: pin.x, y }, { x, y })).join('');
  switch (kind) {
    case 'motor':
      return {
        ...NONE,
        thin: through,
        shapes: circle({ x, y }, 15),
        letters: [{ x, y: y + 5, text: 'M' }],
      };
    case 'fuse':
      // Its wire is seen through it.
      return { ...NONE, thin: `${through}M${n(x - 5)} ${n(y - 13)}h10v26h-10Z` };
    case 'resistor':
      return { ...NONE, thin: through, shapes: `M${n(x - 5)} ${n(y - 13)}h10v26h-10Z` };
    case 'protector':
      return {
        ...NONE,
        thin: through,
        shapes: `M${n(x - 9)} ${n(y - 9)}h18v18h-18Z`,
        letters: [{ x, y: y + 4, text: 'θ' }],
      };
    case 'capacitor':
      return {
        ...NONE,
        thin: gapped(ends, x, 3),
        thick: `M${n(x - 11)} ${n(y - 3)}h22M${n(x - 11)} ${n(y + 3)}h22`,
      };
    case 'limit':
      return {
        ...NONE,
        thin: gapped(ends, x, 9),
        thick: `M${n(x)} ${n(y + 9)}L${n(x - 3)} ${n(y - 10)}M${n(x - 6)} ${n(y - 9)}h7`,
      };
    case 'adjustable-supply':
      return {
        ...NONE,
        thin: through,
        shapes: circle({ x, y }, 12),
        letters: [{ x, y: y + 5, text: 'G' }],
      };
    default:
      return { ...NONE, thin: through };
  }
}

/** Points the way in which it conducts. */
export function diodeSymbol(ends: Ends, anodeIsUp: boolean): Strokes {
  const { pins, top, bottom } = ends;
  const x = itemAt(pins, 0).x;
  const y = (top + bottom) / 2;
  const tip = anodeIsUp ? 7 : -7;
  return {
    ...NONE,
    thin: pins.map((pin) => line(pin, { x: pin.x, y })).join(''),
    shapes: `M${n(x - 8)} ${n(y - tip)}h16L${n(x)} ${n(y + tip)}Z`,
    thick: `M${n(x - 8)} ${n(y + tip)}h16`,
  };
}

function gapped({ pins, top, bottom }: Ends, x: number, half: number): string {
  const y = (top + bottom) / 2;
  return pins.map((pin) => line(pin, { x, y: pin.y }, { x, y: pin.isUp ? y - half : y + half })).join('');
}
