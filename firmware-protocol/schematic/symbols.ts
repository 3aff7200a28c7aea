// Circuit symbols on the grid: pins, strokes and the room each takes. IEC 60617 shapes where it has one
// (resistor, fuse, coil and contact as rectangles and blades); no text placement, no wires.

export type Point = readonly [x: number, y: number];
/** Left, top, right, bottom. */
export type Box = readonly [number, number, number, number];

export interface SymbolShape {
  pins: Record<string, Point>;
  /** SVG path data in grid units; drawn without fill. */
  strokes: string;
  /** SVG path data in grid units, filled with ink (arrow heads, diodes). */
  solid?: string;
  /** SVG path data in grid units, filled with paper, so that a wire underneath does not show. */
  paper?: string;
  body: Box;
  /** Letters that belong to the symbol, centred on their point. */
  letters?: readonly { at: Point; text: string }[];
}

const ZENER_BAR = 'M2.3 -1.2 L2.8 -0.9 V0.9 L3.3 1.2';

const twoPin = (length: number, rest: Omit<SymbolShape, 'pins'>): SymbolShape => ({
  pins: { a: [0, 0], b: [length, 0] },
  ...rest,
});

const box = (left: number, top: number, right: number, bottom: number): string =>
  `M${left} ${top} H${right} V${bottom} H${left} Z`;

export const SYMBOLS: Record<string, SymbolShape> = {
  resistor: twoPin(6, { strokes: `M0 0 H1 M5 0 H6 ${box(1, -0.8, 5, 0.8)}`, body: [1, -0.8, 5, 0.8] }),
  fuse: twoPin(6, { strokes: `M0 0 H6 ${box(1, -0.8, 5, 0.8)}`, body: [1, -0.8, 5, 0.8] }),
  /** Four-terminal: current through a and b, voltage from p and n. */
  shunt: {
    pins: { a: [0, 0], b: [8, 0], p: [2, 2], n: [6, 2] },
    strokes: `M0 0 H2 M6 0 H8 ${box(2, -0.8, 6, 0.8)} M2 0 V2 M6 0 V2`,
    body: [2, -0.8, 6, 1.6],
  },
  capacitor: twoPin(4, {
    strokes: 'M0 0 H1.7 M2.3 0 H4 M1.7 -1.2 V1.2 M2.3 -1.2 V1.2',
    body: [1.5, -1.2, 2.5, 1.2],
  }),
  electrolytic: twoPin(4, {
    strokes: 'M0 0 H1.6 M2.4 0 H4 M1.6 -1.2 V1.2 M0.4 -0.9 H1.2 M0.8 -1.3 V-0.5',
    solid: box(2.1, -1.2, 2.5, 1.2),
    body: [0.4, -1.3, 2.6, 1.2],
  }),
  diode: {
    pins: { a: [0, 0], k: [4, 0] },
    strokes: 'M0 0 H4 M2.8 -1 V1',
    solid: 'M1.2 -1 L2.8 0 L1.2 1 Z',
    body: [1, -1, 3, 1],
  },
  zener: {
    pins: { a: [0, 0], k: [4, 0] },
    strokes: `M0 0 H4 ${ZENER_BAR}`,
    solid: 'M1.2 -1 L2.8 0 L1.2 1 Z',
    body: [1, -1.2, 3.3, 1.2],
  },
  /** Works in both directions. */
  tvs: twoPin(6, {
    strokes: 'M0 0 H6 M2.5 -1.3 L3 -1 V1 L3.5 1.3',
    solid: 'M1.4 -1 L3 0 L1.4 1 Z M4.6 -1 L3 0 L4.6 1 Z',
    body: [1.3, -1.3, 4.7, 1.3],
  }),
  led: {
    pins: { a: [0, 0], k: [4, 0] },
    strokes: 'M0 0 H4 M2.8 -1 V1 M1.8 -1.3 L2.6 -2.3 M2.8 -1.3 L3.6 -2.3',
    solid: 'M1.2 -1 L2.8 0 L1.2 1 Z M2.8 -2.5 L2.7 -1.9 L2.3 -2.2 Z M3.8 -2.5 L3.7 -1.9 L3.3 -2.2 Z',
    body: [1, -2.5, 3.8, 1],
  },
  nmos: {
    pins: { g: [0, 0], d: [4, -3], s: [4, 3] },
    strokes:
      'M0 0 H1.5 M1.5 -1.6 V1.6 M2.1 -2 V-0.9 M2.1 -0.5 V0.5 M2.1 0.9 V2 M2.1 -1.5 H4 V-3 M2.1 1.5 H4 V3 M2.1 0 H4 V1.5',
    solid: 'M2.2 0 L3.1 -0.5 L3.1 0.5 Z',
    body: [1.3, -2, 4.2, 2],
  },
  pmos: {
    pins: { g: [0, 0], s: [4, -3], d: [4, 3] },
    strokes:
      'M0 0 H1.5 M1.5 -1.6 V1.6 M2.1 -2 V-0.9 M2.1 -0.5 V0.5 M2.1 0.9 V2 M2.1 -1.5 H4 V-3 M2.1 1.5 H4 V3 M2.1 0 H4 V-1.5',
    solid: 'M3.7 0 L2.8 -0.5 L2.8 0.5 Z',
    body: [1.3, -2, 4.2, 2],
  },
  coil: {
    pins: { a: [0, 0], b: [0, 6] },
    strokes: `M0 0 V2 M0 4 V6 ${box(-2, 2, 2, 4)}`,
    body: [-2, 2, 2, 4],
  },
  contact: twoPin(6, { strokes: 'M0 0 H1.6 L4.7 -1.7 M4.4 0 H6', body: [1.4, -1.8, 4.8, 0.2] }),
  /** Common c, working contact o, rest contact r. */
  changeover: {
    pins: { c: [0, 0], o: [6, -2], r: [6, 2] },
    strokes: 'M0 0 H1.6 L4.9 2 M4.6 2 H6 M4.6 -2 H6',
    body: [1.4, -2.2, 5, 2.2],
  },
  /** Normally closed, opened by hand. */
  stop: twoPin(6, {
    strokes:
      'M0 0 H1.6 L4.9 -1 M4.4 -1.3 V0 H6 M3.1 -0.5 V-0.9 M3.1 -1.3 V-1.7 M3.1 -2.1 V-2.5 M1.8 -2.5 H4.4',
    solid: 'M1.8 -2.5 A1.3 1.3 0 0 1 4.4 -2.5 Z',
    body: [1.4, -3.8, 5, 0.2],
  }),
  isolator: twoPin(6, {
    strokes: 'M0 0 H1.6 L4.7 -1.7 M4.4 -0.7 V0.7 M4.4 0 H6',
    body: [1.4, -1.8, 4.8, 0.7],
  }),
  motor: {
    pins: { a: [0, 0], b: [0, 8] },
    strokes: 'M0 0 V2 M0 6 V8 M-2 4 A2 2 0 1 1 2 4 A2 2 0 1 1 -2 4',
    body: [-2, 2, 2, 6],
    letters: [{ at: [0, 4], text: 'M' }],
  },
  terminal: {
    pins: { t: [0, 0] },
    strokes: 'M-0.6 0 A0.6 0.6 0 1 1 0.6 0 A0.6 0.6 0 1 1 -0.6 0 M-0.42 0.42 L0.42 -0.42',
    paper: 'M-0.6 0 A0.6 0.6 0 1 1 0.6 0 A0.6 0.6 0 1 1 -0.6 0 Z',
    body: [-0.6, -0.6, 0.6, 0.6],
  },
  battery: {
    pins: { p: [0, 0], n: [0, 6] },
    strokes:
      'M0 0 V2.1 M0 3.9 V6 M-1.5 2.1 H1.5 M-0.8 2.7 H0.8 M-1.5 3.3 H1.5 M-0.8 3.9 H0.8 M0.7 1.1 H1.5 M1.1 0.7 V1.5',
    body: [-1.5, 0.7, 1.5, 3.9],
  },
  opamp: {
    pins: { p: [0, -2], n: [0, 2], o: [8, 0] },
    strokes: 'M0 -2 H1 M0 2 H1 M7 0 H8 M1 -3.6 L7 0 L1 3.6 Z',
    body: [1, -3.6, 7, 3.6],
    letters: [
      { at: [1.8, -2], text: '+' },
      { at: [1.8, 2], text: '−' },
    ],
  },
  /** Current-sense amplifier: output = mean of r1 and r2 + 50 x (p - n). */
  senseamp: {
    pins: { p: [0, -2], n: [0, 2], o: [11, 0], r1: [3, 6], r2: [6, 6] },
    strokes: 'M0 -2 H1 M0 2 H1 M10 0 H11 M3 3.42 V6 M6 1.96 V6 M1 -4.4 L10 0 L1 4.4 Z',
    body: [1, -4.4, 10, 4.4],
    letters: [
      { at: [1.8, -2], text: '+' },
      { at: [1.8, 2], text: '−' },
      { at: [4.6, 0], text: '×50' },
    ],
  },
};

/** A box with named pins: left and right two grid units apart from y = 2, top and bottom four apart from x = 6. */
export function blockShape(
  width: number,
  height: number,
  sides: Record<string, readonly string[]>,
): SymbolShape {
  const pins: Record<string, Point> = {};
  const letters: { at: Point; text: string }[] = [];
  let leads = '';
  const put = (name: string, edge: Point, outward: Point): void => {
    const pin: Point = [edge[0] + outward[0], edge[1] + outward[1]];
    pins[name] = pin;
    leads += ` M${edge[0]} ${edge[1]} L${pin[0]} ${pin[1]}`;
    const inset = outward[0] === 0 ? 0.9 : 0.5 + 0.35 * name.length;
    letters.push({ at: [edge[0] - outward[0] * inset, edge[1] - outward[1] * inset], text: name });
  };
  for (const [i, name] of (sides.left ?? []).entries()) put(name, [0, 2 + 2 * i], [-1, 0]);
  for (const [i, name] of (sides.right ?? []).entries()) put(name, [width, 2 + 2 * i], [1, 0]);
  for (const [i, name] of (sides.top ?? []).entries()) put(name, [6 + 4 * i, 0], [0, -1]);
  for (const [i, name] of (sides.bottom ?? []).entries()) put(name, [6 + 4 * i, height], [0, 1]);
  return { pins, strokes: `${box(0, 0, width, height)}${leads}`, body: [0, 0, width, height], letters };
}
