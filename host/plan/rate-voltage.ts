// Whether the parts of a build are for its voltage: a motor or coil of 12 V burns at 24 V, one of 24 V does not pull at
// 12 V, and a contact that opens a current at 12 V may not open it at 24 V.

import type { UnitCircuitInput } from '../circuit/index.js';
import {
  type FuseClass,
  type MotorProfile,
  type Parts,
  type RelayClass,
  type SwitchClass,
  systemOf,
  USUAL_SYSTEM_V,
} from '../profile/index.js';
import { listed, shortly } from '../tell/index.js';
import type { Bearing } from './rating-row.js';

/** A part whose own voltage is another one than the build's. */
export interface VoltageRow {
  title: string;
  /** Ids of the elements that it speaks of. */
  of: string[];
  ratedV: number;
  systemV: number;
  bearing: Bearing;
  /** What comes of it, and what to take. */
  sentence: string;
}

/**
 * @param input at the supply of the build
 * @param isToldMotor its currents were declared or measured, so that the profile's numbers do not count
 */
export function voltageRows(
  { style, relay, supply }: UnitCircuitInput,
  motor: Pick<MotorProfile, 'nominalVoltageV'>,
  isToldMotor: boolean,
): VoltageRow[] {
  const systemV = systemOf(supply.voltageV);
  const of = (ratedV: number): { isOver: boolean; isUnder: boolean } => ({
    isOver: systemOf(ratedV) < systemV,
    isUnder: systemOf(ratedV) > systemV,
  });
  const gives = `the supply gives ${shortly(supply.voltageV, 'V')}`;
  const rows: VoltageRow[] = [];
  const { isOver, isUnder } = of(motor.nominalVoltageV);
  if (isOver || isUnder) {
    const ratedV = motor.nominalVoltageV;
    const is = `the motor is made for ${shortly(ratedV, 'V')}, and ${gives}`;
    const comes = isToldMotor
      ? 'its currents are taken as told'
      : isOver
        ? `it draws about ${shortly(supply.voltageV / ratedV)} times its usual current and overheats`
        : 'it turns too slowly and may not start';
    rows.push({
      ...{ title: 'motor', ratedV, systemV, bearing: isToldMotor ? 'not-known' : 'does-not-bear' },
      of: style.elements.flatMap(({ kind, id }) => (kind === 'motor' ? [id] : [])),
      sentence: `${is}: ${comes}. Take a motor of ${shortly(systemV, 'V')}, or a profile that says so.`,
    });
  }
  const relays = style.elements.flatMap((element) => (element.kind === 'relay' ? [element] : []));
  if (relay !== undefined && relays.length > 0) {
    const relayV = relay.nominalVoltageV;
    const coil = of(relayV);
    const names = listed(relays.map(({ id, title }) => title ?? id.toUpperCase()));
    if (coil.isOver || coil.isUnder)
      rows.push({
        ...{ title: names, ratedV: relayV, systemV, bearing: 'does-not-bear' },
        of: relays.map(({ id }) => id),
        sentence: `${names} ${relays.length === 1 ? 'is' : 'are'} of ${shortly(relayV, 'V')}, and ${gives}: ${
          coil.isOver
            ? `${relays.length === 1 ? 'its coil takes' : 'their coils take'} ${shortly((supply.voltageV / relayV) ** 2)} times the heat`
            : relays.length === 1
              ? 'its coil does not pull in'
              : 'their coils do not pull in'
        }. Take ${relays.length === 1 ? 'a relay' : 'relays'} of ${shortly(systemV, 'V')}.`,
      });
  }
  return rows;
}

type Voltage = Pick<SwitchClass | FuseClass, 'ratedV'>;

/** Told for so much; where nothing is told it serves 12 V and is not suggested above that. */
const opens = ({ ratedV = USUAL_SYSTEM_V }: Voltage, systemV: number): boolean => ratedV >= systemV;
/** Coils are for one voltage only. */
const pulls = ({ ratedV = USUAL_SYSTEM_V }: Pick<RelayClass, 'ratedV'>, systemV: number): boolean =>
  systemOf(ratedV) === systemV;

/** Of what can be bought, what is for this voltage. */
export const partsFor = (parts: Parts, systemV: number): Parts => ({
  ...parts,
  switches: parts.switches.filter((part) => opens(part, systemV)),
  relays: parts.relays.filter((part) => pulls(part, systemV)),
  fuses: parts.fuses.filter((part) => opens(part, systemV)),
});
