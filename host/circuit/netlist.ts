// A resolved circuit: every element with its numbers. Styles (YAML) plus profile values become one of these;
// faults are edits of one. Node names are free text; GROUND is the reference.

export const GROUND = 'ground';

/** Time function of a source or load: linear between points, held after the last. */
export type Waveform = readonly (readonly [timeS: number, value: number])[];

export interface SupplyElement {
  kind: 'supply';
  id: string;
  plus: string;
  minus: string;
  voltageV: number | Waveform;
  /** The waveform starts when the control `turn` comes, and stands at its first value until then. */
  turnedByHand?: boolean;
  sourceResistanceOhm: number;
  /** Constant-current limit of a bench supply; absent for a battery. */
  currentLimitA?: number;
}
export interface ResistorElement {
  kind: 'resistor';
  id: string;
  a: string;
  b: string;
  resistanceOhm: number;
}
/** Copper wire; the resistance follows IEC 60028 resistivity and temperature coefficient. */
export interface WireElement {
  kind: 'wire';
  id: string;
  a: string;
  b: string;
  lengthM: number;
  /** Cross-section, or the AWG size of solid wire: exactly one of the two. */
  areaMm2?: number;
  awg?: number;
  temperatureC: number;
}
export interface InductorElement {
  kind: 'inductor';
  id: string;
  a: string;
  b: string;
  inductanceH: number;
  initialCurrentA?: number;
}
export interface CapacitorElement {
  kind: 'capacitor';
  id: string;
  a: string;
  b: string;
  capacitanceF: number;
  initialVoltageV?: number;
}
export interface DiodeElement {
  kind: 'diode';
  id: string;
  anode: string;
  cathode: string;
  forwardVoltageV: number;
  onResistanceOhm: number;
}
/** Bidirectional when reverseVoltageV is given for both sides: conducts forward like a diode, backward above clampVoltageV. */
export interface ClampElement {
  kind: 'clamp';
  id: string;
  anode: string;
  cathode: string;
  forwardVoltageV: number;
  clampVoltageV: number;
  onResistanceOhm: number;
}
/** A contact operated by `control` (scheduled by name) with its own delay. */
export interface ContactElement {
  kind: 'contact';
  id: string;
  a: string;
  b: string;
  /** State before any control arrives. */
  closed: boolean;
  contactResistanceOhm: number;
  /** Delay from control to closing or opening. */
  closeDelayS?: number;
  openDelayS?: number;
  /** Instants after first closing at which the contact opens and closes again, alternating. */
  bounceS?: readonly number[];
  /** A welded contact stays closed, a dead one never closes. */
  stuck?: 'closed' | 'open';
}
/** A limit switch: a contact that the motor's travel opens. Shaft angle from the start angle, as endStopsRad. */
export interface LimitElement {
  kind: 'limit';
  id: string;
  a: string;
  b: string;
  motor: string;
  opensAboveRad?: number | undefined;
  opensBelowRad?: number | undefined;
  contactResistanceOhm: number;
  stuck?: 'closed' | 'open';
}
/** Poles move together from one named position to another; break before make with a transfer time. */
export interface SwitchElement {
  kind: 'switch';
  id: string;
  /** Position before any control arrives. */
  position: string;
  /** For each pole: its common node and, by position name, the node it is closed to. Absent position = open. */
  poles: readonly {
    id: string;
    common: string;
    throws: Readonly<Record<string, string>>;
    contactResistanceOhm: number;
  }[];
  transferS: number;
  delayS?: number;
  bounceS?: readonly number[];
}
export type Suppression =
  | { kind: 'none' }
  | { kind: 'resistor'; resistanceOhm: number }
  /** `anodeAt` tells which coil terminal the diode's anode is on; 85 is the usual one. */
  | { kind: 'diode'; anodeAt: '85' | '86'; forwardVoltageV: number };
/** Changeover relay, terminals by DIN 72552 as marked on a five-pin relay body; a missing terminal is absent. */
export interface RelayElement {
  kind: 'relay';
  id: string;
  terminals: { '30': string; '85': string; '86': string; '87'?: string; '87a'?: string };
  coilResistanceOhm: number;
  coilInductanceH: number;
  /** Coil inductance with the armature pulled in, as a ratio of the open one; makes the armature dip. */
  closedInductanceRatio: number;
  pullInCurrentA: number;
  dropOutCurrentA: number;
  /** From pull-in current reached to break contact open, and from there to make contact closed. */
  operateTravelS: number;
  releaseTravelS: number;
  /** Break contact open to make contact closed (and back). */
  transferS: number;
  makeResistanceOhm: number;
  breakResistanceOhm: number;
  bounceS?: readonly number[];
  suppression: Suppression;
  /** `make`: 30-87 welded; `break`: 30-87a welded or armature stuck at rest. */
  stuck?: 'make' | 'break';
}
export interface FuseElement {
  kind: 'fuse';
  id: string;
  a: string;
  b: string;
  ratedA: number;
  resistanceOhm: number;
  /** 0 = the quick edge of the published band, 1 = the slow edge. */
  bandPosition: number;
  blown?: boolean;
}
/** Self-resetting cut-out inside a motor. */
export interface ProtectorElement {
  kind: 'protector';
  id: string;
  a: string;
  b: string;
  type: 'ptc' | 'bimetal';
  coldResistanceOhm: number;
  tripResistanceOhm: number;
  /** Current it carries for ever, and the trip time at twice that current. */
  holdCurrentA: number;
  tripTimeAtDoubleS: number;
  resetS: number;
}
/** Permanent-magnet DC motor. Positive current enters at `a`; positive speed is the forward direction. */
export interface MotorElement {
  kind: 'motor';
  id: string;
  a: string;
  b: string;
  /** Terminal resistance including brushes, at temperatureC 25. */
  resistanceOhm: number;
  inductanceH: number;
  backEmfVsPerRad: number;
  torqueNmPerA: number;
  inertiaKgM2: number;
  viscousNms: number;
  coulombNm: number;
  /** Load torque per speed squared, Nm s2. */
  windageNms2?: number;
  /** Total drop of both brushes, reached at brushKneeA; 0 = none. */
  brushDropV: number;
  brushKneeA: number;
  /** External load torque opposing rotation, as a function of time. */
  loadNm?: number | Waveform;
  /** External load added over one stretch of travel (bound gearbox): opposing torque by shaft angle. */
  temperatureC: number;
  /** Back-EMF modulation, `segments` periods a turn, as a fraction of the back-EMF. */
  ripple?: { segments: number; amplitude: number };
  /**
   * Armature resistance factor by shaft angle: worn or dead commutator bars, over one stretch of each turn. Bars that are
   * shorted to each other do not commutate: the stretch has no ripple.
   */
  segmentFault?: { kind: 'open' | 'shorted'; resistanceFactor: number; widthTurns: number };
  rotorHeld?: boolean;
  /** End stops in shaft radians from the start angle. */
  endStopsRad?: { minimum: number; maximum: number };
  startAngleRad?: number;
  suppressionCapacitorF?: number;
}

export type CircuitElement =
  | SupplyElement
  | ResistorElement
  | WireElement
  | InductorElement
  | CapacitorElement
  | DiodeElement
  | ClampElement
  | ContactElement
  | LimitElement
  | SwitchElement
  | RelayElement
  | FuseElement
  | ProtectorElement
  | MotorElement;
export type ElementKind = CircuitElement['kind'];

export interface Netlist {
  elements: readonly CircuitElement[];
}

/** Something to read off a solution. `current` of a two-terminal element is positive from its first terminal through it. */
export type Probe =
  | { kind: 'voltage'; plus: string; minus?: string }
  | { kind: 'current'; element: string }
  /** Current into a relay's coil at terminal 86. */
  | { kind: 'coil-current'; element: string }
  | { kind: 'speed'; element: string }
  | { kind: 'angle'; element: string }
  /** Sum of probes, for two coils on one feed. */
  | { kind: 'sum'; of: readonly Probe[] };

/** A control: a contact's id with closed/open, a switch's id with its position, or a motor's held rotor. */
export interface ControlSetting {
  element: string;
  state: string | boolean;
}
