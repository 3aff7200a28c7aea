// `profile show` of a parts file: its lists as tables, each part with its numbers and where they come from.

import { wireCapacityA, wireOhmPerM } from '../../plan/index.js';
import type { PartsFile } from '../../profile/index.js';
import { fixed, shortly, temperature, wireSize } from '../../tell/index.js';
import { tableLines } from '../table.js';

const ampere = (value: number | undefined): string => (value === undefined ? '-' : `${value} A`);
const volt = (value: number | undefined): string => (value === undefined ? '-' : `${value} V`);

/** Its own points from the first to the last, or the standard's gates. */
function opensTold({ opens }: PartsFile['fuses'][number]): string {
  const [first] = opens ?? [];
  const last = opens?.at(-1);
  if (first === undefined || last === undefined) return 'by the gates';
  const at = ({ currentA, leastS, mostS }: typeof first): string =>
    `${shortly(leastS)} to ${mostS === undefined ? 'never' : shortly(mostS, 's')} at ${shortly(currentA, 'A')}`;
  return `${at(first)}, ${at(last)}`;
}

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
      ['carries', 'makes', 'breaks', 'breaks a motor', 'at'],
      switches.map((part) =>
        row(part, ...[part.carryA, part.makeA, part.breakA, part.inductiveA].map(ampere), volt(part.ratedV)),
      ),
    ),
    ...table(
      'Relays',
      ['87', '87a', 'of'],
      relays.map((part) => row(part, ampere(part.makeA), ampere(part.breakA), volt(part.ratedV))),
    ),
    ...table(
      'Fuses',
      ['rated', 'up to', 'opens'],
      fuses.map((part) => row(part, ampere(part.ratedA), volt(part.ratedV), opensTold(part))),
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
