// The harness as an ohmmeter finds it: contacts, wires, coils and fuses as resistances, everything else open. A milliampere
// turns no motor and opens no diode that lies beside a coil.

import { type CircuitElement, type ControlSetting, wireResistanceOhm } from '../circuit/index.js';

/** From here on a joint is broken for every meter. */
const BROKEN_OHM = 1e8;

/** A path between two nodes. */
interface Path {
  a: string;
  b: string;
  ohm: number;
}

/** The paths of one element, switches in the positions that `settings` name. */
function pathsOf(element: CircuitElement, positions: ReadonlyMap<string, string | boolean>): Path[] {
  switch (element.kind) {
    case 'wire':
      return [{ a: element.a, b: element.b, ohm: wireResistanceOhm(element) }];
    case 'resistor':
      return element.resistanceOhm < BROKEN_OHM
        ? [{ a: element.a, b: element.b, ohm: element.resistanceOhm }]
        : [];
    case 'fuse':
      return element.blown ? [] : [{ a: element.a, b: element.b, ohm: element.resistanceOhm }];
    case 'switch': {
      const position = positions.get(element.id) ?? element.position;
      return element.poles.flatMap(({ common, throws, contactResistanceOhm }) => {
        const to = throws[String(position)];
        return to === undefined ? [] : [{ a: common, b: to, ohm: contactResistanceOhm }];
      });
    }
    case 'relay': {
      const { terminals, suppression, stuck } = element;
      const coil = { a: terminals['85'], b: terminals['86'] };
      const side = stuck === 'make' ? terminals['87'] : terminals['87a'];
      const ohm = stuck === 'make' ? element.makeResistanceOhm : element.breakResistanceOhm;
      return [
        { ...coil, ohm: element.coilResistanceOhm },
        ...(suppression.kind === 'resistor' ? [{ ...coil, ohm: suppression.resistanceOhm }] : []),
        ...(side === undefined ? [] : [{ a: terminals['30'], b: side, ohm }]),
      ];
    }
    default:
      return [];
  }
}

/** Resistance between two nodes, Infinity where nothing joins them. */
export type OhmBetween = (one: string | undefined, other: string | undefined) => number;

/** Of these elements and no others, at rest but for `settings`. */
export function ohmBetween(
  elements: readonly CircuitElement[],
  settings: readonly ControlSetting[] = [],
): OhmBetween {
  const positions = new Map(settings.map(({ element, state }) => [element, state]));
  const paths = elements.flatMap((element) => pathsOf(element, positions)).filter(({ a, b }) => a !== b);
  const index = new Map<string, number>();
  for (const { a, b } of paths) for (const node of [a, b]) if (!index.has(node)) index.set(node, index.size);
  const island = islands(paths, index);
  const inverse = inverted(conductances(paths, index, island));
  const at = (row: number, column: number): number => inverse[row]?.[column] ?? 0;
  return (one, other) => {
    if (one === undefined || other === undefined) return Number.POSITIVE_INFINITY;
    if (one === other) return 0;
    const [i, k] = [index.get(one), index.get(other)];
    if (i === undefined || k === undefined || island[i] !== island[k]) return Number.POSITIVE_INFINITY;
    return at(i, i) + at(k, k) - at(i, k) - at(k, i);
  };
}

/** Of each node, the least index of those that it is joined to. */
function islands(paths: readonly Path[], index: ReadonlyMap<string, number>): number[] {
  const island = [...index.values()];
  for (let again = true; again; ) {
    again = false;
    for (const { a, b } of paths) {
      const [i, k] = [index.get(a) ?? 0, index.get(b) ?? 0];
      const least = Math.min(island[i] ?? 0, island[k] ?? 0);
      if (island[i] === least && island[k] === least) continue;
      island[i] = least;
      island[k] = least;
      again = true;
    }
  }
  return island;
}

/** Nodal conductances, the first node of each island tied to a reference by one siemens. */
function conductances(
  paths: readonly Path[],
  index: ReadonlyMap<string, number>,
  island: readonly number[],
): number[][] {
  const rows = island.map((first, i): number[] => island.map((_, k) => (i === k && first === i ? 1 : 0)));
  const add = (i: number, k: number, siemens: number): void => {
    const row = rows[i];
    if (row) row[k] = (row[k] ?? 0) + siemens;
  };
  for (const { a, b, ohm } of paths) {
    const [i, k] = [index.get(a) ?? 0, index.get(b) ?? 0];
    add(i, i, 1 / ohm);
    add(k, k, 1 / ohm);
    add(i, k, -1 / ohm);
    add(k, i, -1 / ohm);
  }
  return rows;
}

/** Gauss and Jordan; the matrix is symmetric and positive definite, so no pivot is sought. */
function inverted(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...Array.from({ length: n }, (_, k) => (i === k ? 1 : 0))]);
  rows.forEach((pivotRow, p) => {
    const pivot = pivotRow[p] ?? 1;
    for (let k = 0; k < 2 * n; k++) pivotRow[k] = (pivotRow[k] ?? 0) / pivot;
    rows.forEach((row, i) => {
      const factor = row[p] ?? 0;
      if (i === p || factor === 0) return;
      for (let k = 0; k < 2 * n; k++) row[k] = (row[k] ?? 0) - factor * (pivotRow[k] ?? 0);
    });
  });
  return rows.map((row) => row.slice(n));
}
