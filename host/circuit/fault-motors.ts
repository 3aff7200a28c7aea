// What can be wrong with the motor itself, with every way in which it may show: open, shorted, onto its case, worn, stuck,
// bound, weak. Edits of the circuit only; no mechanics beyond friction and flux. How each shows is in the published and
// derived signatures of small PM motors.

import type { StyleElement } from '../profile/index.js';
import { type Fault, type FaultKind, type FaultPart, faultOf, type StatedFault } from './fault.js';
import { bridge, type FaultEdit, scale, series, set } from './fault-edits.js';
import { leakFaults } from './fault-motor-leaks.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Worn brushes and springs: resistance up by 0.1 to 1 Ohm. Common practice, no source. */
const WORN_BRUSH_OHM = 0.6;
/** A bound gearbox asks three times the friction torque. Common practice, no source. */
const BOUND_FRICTION = 3;
/** Weak magnets lose three tenths: more than a hot good motor (a tenth at 80 C) and its tolerance together. Common practice, no source. */
const WEAK_FLUX = 0.7;
/** A motor that has just run or been held; and grease near freezing. Common practice, no source. */
const WARM_C = 70;
const COLD_FRICTION = 1.5;
/** An open armature, and friction that no motor overcomes. Choices of this model, no source. */
const OPEN_WINDING_OHM = 1e6;
const IMMOVABLE_NM = 1e3;
/** Chance that the current drops out in a throw with worn brushes, and with a loose joint. Common practice, no source. */
const BRUSHES_DROP_OUT = 0.6;
const JOINT_DROPS_OUT = 0.9;
/** Chance that a bad segment shows in the ripples of a turn. Choice of this program, no source. */
const SEGMENT_SHOWS = 0.95;

const friction =
  (id: string) =>
  (factor: number): FaultEdit[] => [scale(id, { coulombNm: factor, viscousNms: Math.sqrt(factor) })];
const flux =
  (id: string) =>
  (factor: number): FaultEdit[] => [scale(id, { backEmfVsPerRad: factor, torqueNmPerA: factor })];
const of =
  (motor: Motor) =>
  (what: string, kind: FaultKind, stated: StatedFault): Fault =>
    faultOf([motor], what, kind, stated);

/** The faults that a style lists. */
export function motorFaults(motor: Motor): Fault[] {
  const { id, a, b } = motor;
  const own = of(motor);
  return [
    own('open', 'open', {
      cause: 'the motor is open between lead A and lead B, inside or at its plug',
      nextProbe:
        "Press the motor's plug home, throw again. If still dead, feed off two minutes (for a protector), unplug it and measure across it while you tap it.",
      does: 'measure-resistance',
      at: [a, b],
      edits: [series(id, 'b')],
      further: [[set(id, { resistanceOhm: OPEN_WINDING_OHM, coulombNm: IMMOVABLE_NM })]],
    }),
    own('brushes-worn', 'worn', {
      cause: 'the brushes of the motor are worn, or their springs weak',
      nextProbe: 'Tap the motor while it runs and watch the current, then look at the brushes.',
      moves: { resistance: 'up' },
      does: 'look',
      edits: [series(id, 'b', WORN_BRUSH_OHM)],
      further: [1.12, 1.3, 1.6, 2.2].map((resistanceOhm) => [scale(id, { resistanceOhm })]),
      comesInDegrees: true,
      dropouts: { motor: BRUSHES_DROP_OUT },
    }),
    own('shorted', 'shorted', {
      cause: 'the motor is shorted between lead A and lead B',
      nextProbe: 'Outputs off, unplug the motor and throw again: if the short is gone, it is in the motor.',
      does: 'disconnect',
      commonness: 0.5,
      edits: [bridge(a, b)],
      further: [
        [scale(id, { resistanceOhm: 0.03, inductanceH: 0.05 }), set(id, { coulombNm: IMMOVABLE_NM })],
      ],
    }),
    ...leakFaults(motor),
    own('rotor-locked', 'stuck', {
      cause: 'the motor does not turn and draws its stall current',
      nextProbe:
        'Outputs off, springs locked, take what it drives off its output and throw again: if it still stands, it is the motor or its gearbox.',
      does: 'feel',
      edits: [set(id, { rotorHeld: true })],
      commonness: 0.7,
      stands: true,
    }),
    own('gearbox-bound', 'worn', {
      cause: 'the motor turns hard',
      because: 'its gearbox is bound or dry, or a loose magnet drags',
      nextProbe:
        'Outputs off, springs locked, take what it drives off its output and run it with nothing to move: if it still turns hard, it is its own.',
      moves: { friction: 'up' },
      does: 'disconnect',
      edits: [scale(id, { coulombNm: BOUND_FRICTION })],
      further: [...[1.5, 1.9, 2.5, 3.5].map(friction(id)), [set(id, { rotorHeld: true })]],
    }),
    own('magnets-weak', 'worn', {
      cause: 'the magnets of the motor are weak, or one is loose',
      nextProbe:
        'Let the motor cool for an hour and throw again: a good one that was hot comes back. Then shake it: a loose magnet rattles.',
      moves: { friction: 'up' },
      does: 'look',
      commonness: 0.5,
      edits: flux(id)(WEAK_FLUX),
      further: [0.82, 0.68, 0.55].map(flux(id)),
    }),
  ];
}

/** What a style does not list and judging looks for all the same: conditions of the motor, and a joint that comes and goes. */
export function conditionsOf(motor: Motor): Fault[] {
  const { id, a, b } = motor;
  const own = of(motor);
  const turnsLeft = (part: number): FaultEdit[] => [
    scale(id, { resistanceOhm: part, inductanceH: part, coulombNm: 1.4 }),
  ];
  /** Of the voltage; copper goes with its square. */
  const woundFor = (ratio: number): FaultEdit[] => [
    scale(id, { resistanceOhm: ratio * ratio, inductanceH: ratio * ratio }),
    ...flux(id)(ratio),
  ];
  const segmentFault = { kind: 'open', resistanceFactor: 2, widthTurns: 0.5 } as const;
  return [
    own('turns-light', 'worn', {
      cause: 'the motor turns too lightly',
      because: 'a stripped gear, a broken cord or an uncoupled drive',
      nextProbe: 'Watch the output while the motor runs: it whirs and nothing moves.',
      moves: { friction: 'down' },
      does: 'look',
      commonness: 0.6,
      edits: friction(id)(0.5),
      further: [friction(id)(0.25)],
    }),
    // Copper +0.39 % and ferrite -0.2 % a kelvin: at 80 C a fifth more resistance and a tenth less back-EMF than at 25 C.
    own('warm', 'worn', {
      cause: 'the motor is warm',
      because: 'its resistance is up and its back-EMF down together',
      nextProbe: 'Feel its case. Let it rest for an hour, feed off, and repeat the run.',
      does: 'feel',
      moves: { resistance: 'up', friction: 'up' },
      edits: [set(id, { temperatureC: WARM_C })],
      further: [95, 120].map((temperatureC) => [set(id, { temperatureC })]),
      isPassing: true,
    }),
    own('grease-cold', 'worn', {
      cause: 'the grease of the gearbox is cold and stiff',
      nextProbe: 'Run it a few times each way, with rests between, and repeat: the current must come down.',
      does: 'feel',
      moves: { friction: 'up' },
      commonness: 0.5,
      edits: friction(id)(COLD_FRICTION),
      further: [friction(id)(1.25)],
      isPassing: true,
    }),
    own('winding-shorted', 'shorted', {
      cause: 'turns in the armature are shorted',
      because: 'it starts with more current than it should',
      nextProbe:
        'Unplug the motor and measure across its terminals at several shaft angles with a small current: look for dips.',
      moves: { resistance: 'down', friction: 'up' },
      does: 'measure-resistance',
      at: [a, b],
      commonness: 0.5,
      edits: turnsLeft(0.7),
      further: [turnsLeft(0.5), turnsLeft(0.25)],
    }),
    own('wound-for-other-voltage', 'wrong-part', {
      cause: 'the motor is wound for another voltage',
      nextProbe:
        'Read the label; unplug the motor and measure across its terminals: a 24 V motor has about four times the resistance.',
      moves: { resistance: 'up' },
      does: 'measure-resistance',
      at: [a, b],
      commonness: 0.3,
      edits: woundFor(2),
      further: [woundFor(0.5)],
    }),
    faultOf([], 'joint-loose', 'loose', {
      cause: 'a joint in the harness is loose',
      because: 'current and lead voltage drop out together',
      nextProbe:
        'While it runs, hands clear of what moves, wiggle plugs and wires one after the other and watch the lead voltages.',
      does: 'feel',
      commonness: 0.7,
      edits: [],
      dropouts: { harness: JOINT_DROPS_OUT },
    }),
    faultOf([], 'hinge-wire', 'loose', {
      cause: 'a wire in a hinge opens while the drive moves one way',
      because: 'it drops out like a loose joint',
      nextProbe:
        'Outputs off, bend the bundle where it goes through a hinge or chain, and run it again in each bend: dropouts must follow the bend.',
      does: 'feel',
      commonness: 0.3,
      edits: [],
      dropouts: { harness: JOINT_DROPS_OUT },
    }),
    // Seen only where the profile tells segments: hardly at all, on the bad stretch when the motor starts, and off it.
    own('segment-bad', 'worn', {
      cause: 'a segment or coil of the armature is open, burnt or shorted to its neighbour',
      because: 'the same ripple is wrong at every turn',
      nextProbe:
        'Make eight short throws through the limited feed and measure lead to lead after each: where the motor stops at one place of its turn, it reads off. Then look for a burnt segment.',
      does: 'measure-resistance',
      at: [a, b],
      commonness: 0.5,
      edits: [],
      further: [Math.PI, 0].map((startAngleRad) => [set(id, { segmentFault, startAngleRad })]),
      unevenRipple: SEGMENT_SHOWS,
    }),
  ];
}

/** `others` without the motor's own, and with what can be wrong where a known load hangs in its place. */
export function loadFaults({ id, a, b }: Motor, leads: readonly FaultPart[]): Fault[] {
  const load: FaultPart = { id, kind: 'load' };
  return [
    faultOf([load], 'open', 'open', {
      id: 'load-open',
      cause: 'the known load is not joined, or open',
      because: 'both leads have their voltage and no current flows',
      nextProbe: 'Push the load home on the motor plug, then measure it across its own plug.',
      does: 'measure-resistance',
      at: [a, b],
      edits: [series(id, 'b')],
    }),
    faultOf(leads, 'leads-bridged', 'shorted', {
      id: 'leads-bridged',
      cause: 'motor lead A and motor lead B touch each other',
      nextProbe: 'Take the load off and throw again: a short that stays is between the two leads.',
      does: 'disconnect',
      at: [a, b],
      edits: [bridge(a, b)],
    }),
  ];
}
