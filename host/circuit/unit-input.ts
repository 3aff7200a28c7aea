// What one concrete bench set-up is in numbers: no tolerances left, everything the netlist of a unit needs.

import type { Channel, Position } from '../capture/index.js';
import type { CircuitStyle, LoadValues, MotorValues, RelayValues, RigValues } from '../profile/index.js';
import type { ProtectorElement } from './elements/protector.js';
import type { AppliedFault } from './fault.js';
import type { ControlSetting, MotorElement, Netlist, Probe } from './netlist.js';

/** Cross-section or AWG size, one of the two. */
export interface WireSize {
  areaMm2?: number | undefined;
  awg?: number | undefined;
}

export interface UnitCircuitInput {
  style: CircuitStyle;
  /** At 25 C. */
  motor: MotorValues;
  /** In place of the motor, whose values are not read then. */
  load?: LoadValues;
  /** Coil at 20 C. Needed when the style has relays. */
  relay?: RelayValues;
  /** Relays that differ from `relay`, by element id. */
  relays?: Readonly<Record<string, RelayValues>>;
  rig: RigValues;
  wiring: { lengthM: number } & WireSize;
  supply: { voltageV: number; sourceResistanceOhm: number; currentLimitA?: number | undefined };
  /** Of wires, motor and coils alike. */
  temperatureC: number;
  /** Of the style, or any edits of its circuit. */
  faults?: readonly AppliedFault[];
  /** Puts a contact in series with the motor (`brushContactOf` names it), so that a bench can drop it out. */
  brushContact?: { extraResistanceOhm: number };
  /** Instants after first closing at which every mechanical contact opens and closes again; none by default. */
  bounceS?: readonly number[];
  /** Multiplies the contact resistances that the style itself states. */
  contactFactor?: number;
  startAngleRad?: number;
  rotorHeld?: boolean;
  /** The coils' limiter: in their feed all the time, or with the contact past it that a bench works. Neither by default. */
  coilLimiter?: 'in' | 'switched';
  /** A bad stretch of the motor's commutator. */
  segmentFault?: MotorElement['segmentFault'];
  /** In series with the motor, inside its case. */
  protector?: Omit<ProtectorElement, 'kind' | 'id' | 'a' | 'b'>;
}

export type FeedState = 'off' | 'limited' | 'full';

export interface UnitCircuit {
  netlist: Netlist;
  controls: {
    position: Record<Position, ControlSetting[]>;
    feed: Record<FeedState, ControlSetting[]>;
    /** Other places to throw from, by the style's own names. */
    stations: Record<string, Record<Position, ControlSetting[]>>;
    /** What a person may be asked to do, by the style's own names. */
    asks: Record<string, ControlSetting[]>;
  };
  probes: Record<Channel, Probe>;
  /** Empty where nothing turns. */
  motorId: string;
}
