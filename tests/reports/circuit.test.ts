// Pictures of circuits: everything that a style has is on them, nothing lies on anything else, and what is told of a
// position obeys Kirchhoff and Ohm.

import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { POSITIONS } from '../../host/capture/index.js';
import {
  faultById,
  nominalInput,
  type PositionState,
  placeWords,
  positionState,
} from '../../host/circuit/index.js';
import { shownCircuit } from '../../host/commands/circuit-shown.js';
import { unitAsBuilt } from '../../host/commands/unit-as-built.js';
import {
  type CircuitStyle,
  circuitStyleSchema,
  type ResolvedUnit,
  type StyleElement,
} from '../../host/profile/index.js';
import {
  cellLayout,
  circuitSvg,
  circuitText,
  drawingOf,
  type Layout,
  laidOut,
  svgMetrics,
} from '../../host/reports/circuit/index.js';
import { ROOT } from '../rules/source-tree.js';
import { isWellFormed } from './well-formed.js';

const STYLES = readdirSync(join(ROOT, 'profiles/circuits')).map((name) => name.replace('.yaml', ''));
const unitOf = (style: string): ResolvedUnit =>
  unitAsBuilt(style === 'relay-alone' ? 'mini-changeover-alone' : 'entry-step-relays', style);

/** As a person may write one: two fuses, a diode across the motor, a relay straight on a fuse, a damper without a name. */
const WRITTEN: CircuitStyle = circuitStyleSchema.parse({
  ...{ id: 'written', title: 'Hatch with two fuses', kind: 'circuit', summary: 'One relay, two fuses.' },
  ...{ hookUp: ['As drawn.'], restState: 'open', release: 'coast', thrownBy: 'trigger' },
  polarity: { forward: 'positive', reverse: 'none' },
  returnPath: { forward: 'from lead B to ground', reverse: 'none' },
  nodes: { fused: 'behind the main fuse', bar: 'ground bar' },
  elements: [
    {
      id: 'main-fuse',
      kind: 'fuse',
      title: 'main fuse',
      a: 'rig.feed',
      b: 'fused',
      ratedA: 20,
      resistanceOhm: 0.004,
    },
    {
      id: 'second-fuse',
      kind: 'fuse',
      title: 'hatch fuse',
      a: 'fused',
      b: 'k1-87',
      ratedA: 10,
      resistanceOhm: 0.008,
    },
    { id: 'spare', kind: 'wire', title: 'wire of the lamp', a: 'fused', b: 'lamp' },
    { id: 'lamp-itself', kind: 'resistor', title: 'lamp', a: 'lamp', b: 'bar', resistanceOhm: 30 },
    {
      id: 'k1',
      kind: 'relay',
      title: 'K1',
      terminals: { '30': 'k1-30', '85': 'k1-85', '86': 'k1-86', '87': 'k1-87' },
    },
    { id: 'coil', kind: 'wire', role: 'coil-feed', title: 'coil wire', a: 'rig.coil-feed', b: 'k1-86' },
    {
      id: 'trigger',
      kind: 'wire',
      role: 'trigger',
      title: 'trigger wire',
      a: 'k1-85',
      b: 'rig.trigger-forward',
    },
    { id: 'lead-a', kind: 'wire', role: 'lead', title: 'motor lead A', a: 'k1-30', b: 'rig.lead-a' },
    { id: 'lead-b', kind: 'wire', role: 'lead', title: 'motor lead B', a: 'bar', b: 'rig.lead-b' },
    {
      id: 'flyback',
      kind: 'diode',
      title: 'diode across the motor',
      anode: 'rig.motor-b',
      cathode: 'rig.motor-a',
    },
    { id: 'damper', kind: 'resistor', a: 'rig.motor-a', b: 'rig.motor-b', resistanceOhm: 20000 },
    { id: 'ground', kind: 'wire', role: 'ground', title: 'ground wire', a: 'bar', b: 'rig.ground' },
    { id: 'motor', kind: 'motor', a: 'rig.motor-a', b: 'rig.motor-b' },
  ],
  positions: {
    rest: { 'rig.throw-forward': 'open' },
    forward: { 'rig.throw-forward': 'closed' },
    reverse: { 'rig.throw-forward': 'open' },
  },
});

const units = new Map<string, ResolvedUnit>([
  ...STYLES.map((id): [string, ResolvedUnit] => [id, unitOf(id)]),
  ['written', { ...unitOf('single-relay'), style: WRITTEN }],
]);
const layouts = new Map<string, Layout>();
const NAMES = [...STYLES, 'written'];
const unit = (name: string): ResolvedUnit => units.get(name)!;
const layout = (name: string): Layout => layouts.get(name)!;

beforeAll(async () => {
  for (const name of NAMES) layouts.set(name, await laidOut(drawingOf(unit(name).style), svgMetrics(false)));
}, 60_000);

interface Rectangle {
  what: string;
  left: number;
  top: number;
  right: number;
  bottom: number;
}
const overlap = (a: Rectangle, b: Rectangle): boolean =>
  a.left < b.right - 0.5 && b.left < a.right - 0.5 && a.top < b.bottom - 0.5 && b.top < a.bottom - 0.5;
const pairs = (all: readonly Rectangle[]): string[] =>
  all.flatMap((a, i) => all.slice(i + 1).flatMap((b) => (overlap(a, b) ? [`${a.what} on ${b.what}`] : [])));

/** Boxes that the letters of a picture take; groups are shifted, never turned. A letter is half as wide as high, 0.7 high. */
function labels(svg: string): Rectangle[] {
  const shifts: { x: number; y: number }[] = [];
  const found: Rectangle[] = [];
  const tags =
    /<g transform="translate\(([-\d.]+) ([-\d.]+)\)">|<\/g>|<text [^>]*?x="([-\d.]+)" y="([-\d.]+)"([^>]*)>([^<]*)</g;
  for (const [tag, gx, gy, x, y, style, text] of svg.matchAll(tags)) {
    if (tag === '</g>') shifts.pop();
    else if (gx !== undefined) shifts.push({ x: Number(gx), y: Number(gy) });
    else {
      const size = Number(/font-size="([\d.]+)"/.exec(style!)?.[1] ?? 12);
      const width = 0.5 * size * text!.length;
      const anchor = /text-anchor="(\w+)"/.exec(style!)?.[1] ?? 'start';
      const at =
        shifts.reduce((sum, each) => sum + each.x, Number(x)) - (anchor === 'middle' ? width / 2 : 0);
      const base = shifts.reduce((sum, each) => sum + each.y, Number(y));
      found.push({ what: text!, left: at, right: at + width, top: base - 0.7 * size, bottom: base });
    }
  }
  return found;
}

const boxesOf = ({ boxes, wires }: Layout): Rectangle[] => [
  ...boxes.map(({ box, x, y, width, height }) => ({
    ...{ what: box.words, left: x, top: y, right: x + width, bottom: y + height },
  })),
  ...wires.flatMap(({ wire, badge }) =>
    badge === undefined
      ? []
      : [
          {
            what: `badge ${wire.id}`,
            left: badge.x,
            top: badge.y,
            right: badge.x + 56,
            bottom: badge.y + 30,
          },
        ],
  ),
];

/** Pieces of a wire with nothing of its width, shortened so that they only touch what they end on. */
const piecesOf = ({ wires }: Layout): (Rectangle & { id: string })[] =>
  wires.flatMap(({ wire: { id }, points }) =>
    points.slice(1).map((to, i) => {
      const from = points[i]!;
      const [left, right] = [Math.min(from.x, to.x), Math.max(from.x, to.x)];
      const [top, bottom] = [Math.min(from.y, to.y), Math.max(from.y, to.y)];
      return {
        id,
        what: `wire ${id}`,
        left: left - 1.1,
        right: right + 1.1,
        top: top - 1.1,
        bottom: bottom + 1.1,
      };
    }),
  );

describe('picture of a circuit', () => {
  it.each(NAMES)('%s: no box, badge or wire lies on another', (name) => {
    const all = boxesOf(layout(name));
    expect(pairs(all)).toEqual([]);
    const pieces = piecesOf(layout(name));
    const within = pieces.flatMap((piece) =>
      all
        .map((box) => ({
          ...box,
          left: box.left + 2,
          right: box.right - 2,
          top: box.top + 2,
          bottom: box.bottom - 2,
        }))
        .filter((box) => box.what !== `badge ${piece.id}` && overlap(piece, box))
        .map((box) => `${piece.what} through ${box.what}`),
    );
    expect(within).toEqual([]);
    // Two wires may cross; along each other they keep apart.
    const isUpright = (piece: Rectangle): boolean => piece.bottom - piece.top > piece.right - piece.left;
    const along = pieces.flatMap((a, i) =>
      pieces
        .slice(i + 1)
        .filter((b) => a.id !== b.id && isUpright(a) === isUpright(b) && overlap(a, b))
        .map((b) => `${a.what} along ${b.what}`),
    );
    expect(along).toEqual([]);
  });

  it.each(NAMES)('%s: labels keep apart in every position, and all that is marked is there', (name) => {
    for (const position of POSITIONS) {
      const { shown } = shownCircuit({ unit: unit(name), position });
      const svg = circuitSvg({ layout: layout(name), shown, title: name });
      expect(isWellFormed(svg)).toBe(true);
      expect(pairs(labels(svg)), position).toEqual([]);
      const told = labels(svg).map(({ what }) => what);
      expect(missing(unit(name).style, told), position).toEqual([]);
    }
  });

  it.each(NAMES)('%s: fits into 80 columns with all its terminals', async (name) => {
    const { shown } = shownCircuit({ unit: unit(name), position: 'reverse' });
    const lines = circuitText(await cellLayout(layout(name).drawing, false, 80), shown);
    expect(Math.max(...lines.map(({ length }) => length))).toBeLessThanOrEqual(80);
    const told = lines.flatMap((line) => line.split(/ {2,}|[│║─┌┐└┘╭╮╰╯] ?/)).map((word) => word.trim());
    expect(
      missing(
        unit(name).style,
        told.flatMap((word) => [word, word.replace(/[()]/g, '')]),
      ),
    ).toEqual([]);
  });

  it('marks the place of a fault in letters and dashes, with what a good unit has in brackets', async () => {
    const whole = unit('relay-pair-ground-thrown');
    const { shown } = shownCircuit({ unit: whole, causes: [faultById(whole, 'k2-coil-open')] });
    const marked = await laidOut(layout('relay-pair-ground-thrown').drawing, svgMetrics(true));
    const svg = circuitSvg({ layout: marked, shown });
    expect(svg.match(/! faulty/g)).toHaveLength(1);
    expect(svg).toMatch(/stroke-dasharray="7 4"/);
    // K2 is thrown in reverse: with its coil open 30 stays on ground, and a good one lifts it to the feed.
    expect(shown.state.position).toBe('reverse');
    expect(shown.state.voltageV['k2-30']).toBeCloseTo(0, 1);
    expect(shown.good?.voltageV['k2-30']).toBeGreaterThan(12);
    expect(pairs(labels(svg))).toEqual([]);
  });
});

/** What of a style is not told: marks of relays and switches, numbers of wires, words of joints. */
function missing({ elements, nodes }: CircuitStyle, told: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const word of told) counts.set(word, (counts.get(word) ?? 0) + 1);
  const marks = elements.flatMap((element) =>
    element.kind === 'relay'
      ? Object.keys(element.terminals)
      : element.kind === 'switch'
        ? ownMarks(element)
        : [],
  );
  const switches = new Set(marks.filter((mark) => nodes[mark] === undefined && !mark.startsWith('rig.')));
  const wanted = [
    ...[...switches].map((mark): [string, number] => [
      mark.replaceAll('-', ' '),
      marks.filter((each) => each === mark).length,
    ]),
    ...elements.filter(({ kind }) => kind === 'wire').map((_, i): [string, number] => [`${i + 1}`, 1]),
  ];
  return wanted.flatMap(([word, least]) => ((counts.get(word) ?? 0) < least ? [word] : []));
}
const ownMarks = ({ poles }: Extract<StyleElement, { kind: 'switch' }>): string[] =>
  poles.flatMap(({ common, throws }) => [common, ...new Set(Object.values(throws))]);

describe('a position solved', () => {
  const states = new Map<string, PositionState>();
  const stateOf = (name: string, position: 'rest' | 'forward' | 'reverse'): PositionState => {
    const key = `${name} ${position}`;
    const state = states.get(key) ?? positionState(nominalInput(unit(name)), position);
    states.set(key, state);
    return state;
  };

  // Ohm's law with the resistivity of annealed copper at 20 C, 1/58 Ohm mm2/m (IEC 60028).
  it('drops in each wire what copper of its length and size drops', () => {
    const { style, unit: own } = unit('relay-pair-ground-thrown');
    const { voltageV, currentA } = stateOf('relay-pair-ground-thrown', 'forward');
    for (const wire of style.elements) {
      if (wire.kind !== 'wire' || wire.b.startsWith('rig.lead')) continue;
      const { lengthM = own.wiring.lengthM, areaMm2 = own.wiring.areaMm2 ?? 0 } = wire;
      const ohm = lengthM / (58 * areaMm2);
      expect(voltageV[wire.a]! - voltageV[wire.b]!, wire.id).toBeCloseTo(currentA[wire.id]! * ohm, 3);
    }
  });

  // Kirchhoff's current law.
  it.each(NAMES)('%s: what flows into a joint of wires flows out of it', (name) => {
    const { elements } = unit(name).style;
    for (const position of ['forward', 'reverse'] as const) {
      const { currentA } = stateOf(name, position);
      const ends = new Map<string, { sum: number; isWiresOnly: boolean }>();
      for (const element of elements) {
        const nodes =
          element.kind === 'wire'
            ? ([
                [element.a, -1],
                [element.b, 1],
              ] as const)
            : nodesOfOther(element).map((node) => [node, 0] as const);
        for (const [node, sign] of nodes) {
          const { sum, isWiresOnly } = ends.get(node) ?? { sum: 0, isWiresOnly: true };
          ends.set(node, {
            sum: sum + sign * (currentA[element.id] ?? 0),
            isWiresOnly: isWiresOnly && element.kind === 'wire',
          });
        }
      }
      for (const [node, { sum, isWiresOnly }] of ends)
        if (isWiresOnly && !node.startsWith('rig.'))
          expect(sum, placeWords(unit(name).style, node)).toBeCloseTo(0, 4);
    }
  });

  it('pulls in the relay that the style throws, and no other', () => {
    expect(stateOf('relay-pair-ground-thrown', 'rest').pulledIn).toEqual([]);
    expect(stateOf('relay-pair-ground-thrown', 'forward').pulledIn).toEqual(['k1']);
    expect(stateOf('relay-pair-ground-thrown', 'reverse').pulledIn).toEqual(['k2']);
  });
});

const nodesOfOther = (element: StyleElement): string[] => {
  switch (element.kind) {
    case 'relay':
      return Object.values(element.terminals).filter((node) => node !== undefined);
    case 'switch':
      return ownMarks(element);
    case 'diode':
    case 'clamp':
      return [element.anode, element.cathode];
    default:
      return [element.a, element.b];
  }
};
