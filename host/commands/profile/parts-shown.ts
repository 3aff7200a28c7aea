// `profile show` of a parts file: its lists as tables, each part with its numbers and where they come from.

import { wireCapacityA, wireOhmPerM } from '../../plan/index.js';
import type { PartsFile } from '../../profile/index.js';
import { fixed, temperature, wireSize } from '../../tell/index.js';
import { tableLines } from '../table.js';

const ampere = (value: number | undefined): string => (value === undefined ? '-' : `${value} A`);

export function partsLines(file: PartsFile): string[] {
  const { switches, relays, fuses, wires, connectors } = file;
  const table = (heading: string, heads: string[], rows: string[][]): string[] =>
    rows.length === 0
      ? []
      : ['', `${heading}:`, ...tableLines([['  id', 'called', ...heads, 'from'], ...rows])];
  const row = (part: { id: string; title: string; source: string }, ...cells: string[]): string[] => [
    `  ${part.id}`,
    part.title,
    ...cells,
    part.source,
  ];
  return [
    ...table(
      'Switches, direct current',
      ['carries', 'makes', 'breaks', 'breaks a motor'],
      switches.map((part) =>
        row(part, ampere(part.carryA), ampere(part.makeA), ampere(part.breakA), ampere(part.inductiveA)),
      ),
    ),
    ...table(
      'Relays',
      ['87', '87a'],
      relays.map((part) => row(part, ampere(part.makeA), ampere(part.breakA))),
    ),
    ...table(
      'Fuses',
      ['rated'],
      fuses.map((part) => row(part, ampere(part.ratedA))),
    ),
    ...table(
      'Wires',
      ['size', 'carries', `at ${temperature(20)}`],
      wires.map((part) =>
        row(
          part,
          wireSize(part),
          ampere(wireCapacityA(part)),
          `${fixed(1000 * wireOhmPerM(part, 20), 2)} mΩ/m`,
        ),
      ),
    ),
    ...table(
      'Connectors',
      ['carries'],
      connectors.map((part) => row(part, ampere(part.carryA))),
    ),
  ];
}
