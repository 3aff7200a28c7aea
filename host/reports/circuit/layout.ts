// Places for the boxes and ways for the wires of a drawing: the layered method of Sugiyama as the Eclipse Layout Kernel
// has it, feed above and ground below. Loaded only where a circuit is drawn.

import ElkConstructor from 'elkjs/lib/elk.bundled.js';
import type { ElkExtendedEdge, ElkNode } from 'elkjs/lib/elk-api.js';
import { known } from '../../fields/index.js';
import type { Box, Drawing, Pin, Wire } from './drawing.js';
import { type Metrics, type Sized, sized } from './sizes.js';

export interface Point {
  x: number;
  y: number;
}

export interface PlacedBox extends Sized, Point {}

export interface PlacedWire {
  wire: Wire;
  /** From the upper pin to the lower one. */
  points: Point[];
  /** Upper left corner of its badge; absent of a tie. */
  badge?: Point;
}

export interface Layout {
  drawing: Drawing;
  metrics: Metrics;
  width: number;
  height: number;
  boxes: PlacedBox[];
  wires: PlacedWire[];
}

// Its types say that the module is the class; Node gives the class inside of it.
type Elk = { layout(graph: ElkNode): Promise<ElkNode> };
const Constructor = ((ElkConstructor as { default?: unknown }).default ?? ElkConstructor) as new () => Elk;

const SIDES = { top: 'NORTH', bottom: 'SOUTH' } as const;

/** @param hasBadge wires that get one; all where it is left out */
export async function laidOut(
  drawing: Drawing,
  metrics: Metrics,
  hasBadge: (part: string) => boolean = () => true,
): Promise<Layout> {
  const { boxes, wires } = drawing;
  const { nodes, edges, layers, edgeLayers, edgeNode } = metrics.spacing;
  const placed = boxes.map((box) => sized(box, metrics));
  const root = await new Constructor().layout({
    id: 'circuit',
    layoutOptions: {
      'elk.algorithm': 'layered',
      'elk.direction': 'DOWN',
      'elk.edgeRouting': 'ORTHOGONAL',
      'elk.separateConnectedComponents': 'false',
      'elk.randomSeed': '1',
      'elk.spacing.nodeNode': `${nodes}`,
      'elk.spacing.edgeNode': `${edgeNode}`,
      'elk.spacing.edgeEdge': `${edges}`,
      'elk.spacing.edgeLabel': '0',
      'elk.spacing.labelNode': '0',
      'elk.layered.spacing.nodeNodeBetweenLayers': `${layers}`,
      'elk.layered.spacing.edgeNodeBetweenLayers': `${edgeLayers}`,
      'elk.layered.spacing.edgeEdgeBetweenLayers': `${edges}`,
      'elk.layered.crossingMinimization.greedySwitch.type': 'TWO_SIDED',
      'elk.layered.thoroughness': '40',
      'elk.layered.nodePlacement.strategy': 'BRANDES_KOEPF',
      'elk.layered.nodePlacement.favorStraightEdges': 'true',
      'elk.layered.considerModelOrder.strategy': 'PREFER_NODES',
      'elk.padding': '[top=0,left=0,bottom=0,right=0]',
    },
    children: placed.map((each) => nodeOf(each, metrics)),
    edges: wires.map((wire) => edgeOf(wire, metrics, hasBadge)),
  });
  const byId = new Map(root.children?.map((node) => [node.id, node]));
  const ways = new Map(root.edges?.map((edge) => [edge.id, edge]));
  return {
    drawing,
    metrics,
    width: root.width ?? 0,
    height: root.height ?? 0,
    boxes: placed.map((each) => {
      const node = byId.get(each.box.id);
      return { ...each, x: node?.x ?? 0, y: node?.y ?? 0, width: node?.width ?? each.width };
    }),
    wires: wires.map((wire) => placedWire(wire, ways.get(wire.id))),
  };
}

const portOf = (pin: string, end: string): string => `${pin} ${end}`;

function nodeOf({ box, width, height, pins }: Sized, { wireGap }: Metrics): ElkNode {
  const fixed = new Map(pins.map((at) => [at.pin.id, at]));
  return {
    id: box.id,
    width,
    height,
    layoutOptions: known({
      'elk.portConstraints': box.isOrdered ? 'FIXED_POS' : 'FIXED_SIDE',
      'elk.layered.layering.layerConstraint': layerOf(box),
      'elk.spacing.portPort': `${wireGap}`,
    }),
    ports: box.pins.flatMap((pin) =>
      pin.ends.map((end, i) => ({
        id: portOf(pin.id, end),
        width: 0,
        height: 0,
        ...(box.isOrdered
          ? {
              x: (fixed.get(pin.id)?.x ?? 0) + (i - (pin.ends.length - 1) / 2) * wireGap,
              y: pin.side === 'top' ? 0 : height,
            }
          : {}),
        layoutOptions: { 'elk.port.side': SIDES[pin.side] },
      })),
    ),
  };
}

/** What nothing lies above, and what nothing lies below. */
function layerOf({ kind, pins }: Box): string | undefined {
  if (kind !== 'terminal') return undefined;
  const isAll = (side: Pin['side']): boolean => pins.every((pin) => pin.side === side);
  return isAll('bottom') ? 'FIRST' : isAll('top') ? 'LAST' : undefined;
}

function edgeOf(
  { id, from, to, part }: Wire,
  { badge }: Metrics,
  hasBadge: (part: string) => boolean,
): ElkExtendedEdge {
  return {
    id,
    sources: [portOf(from, id)],
    targets: [portOf(to, id)],
    labels:
      part === undefined || !hasBadge(part)
        ? []
        : [
            {
              text: id,
              ...badge,
              layoutOptions: { 'elk.edgeLabels.placement': 'CENTER', 'elk.edgeLabels.inline': 'true' },
            },
          ],
  };
}

function placedWire(wire: Wire, edge: ElkExtendedEdge | undefined): PlacedWire {
  const points = (edge?.sections ?? []).flatMap(({ startPoint, bendPoints = [], endPoint }) => [
    startPoint,
    ...bendPoints,
    endPoint,
  ]);
  const [label] = edge?.labels ?? [];
  return {
    wire,
    points,
    ...(label === undefined ? {} : { badge: { x: label.x ?? 0, y: label.y ?? 0 } }),
  };
}
