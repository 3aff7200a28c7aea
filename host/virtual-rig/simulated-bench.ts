// The bench around the emulated board: its pins work the feed and the throws of a simulated circuit, its converter
// reads currents and voltages off it. Time is the board's true time.

import type { Channel, Position } from '../capture/index.js';
import {
  brushContactOf,
  COIL_CONTROLS,
  type ControlSetting,
  createTransient,
  type Transient,
  type UnitCircuit,
} from '../circuit/index.js';
import type { ResolvedUnit, Turned, VirtualCase } from '../profile/index.js';
import type { BoardOutputs, BoardWorld } from './board/index.js';
import type { Chance } from './chance.js';
import { inputChannels } from './converter.js';
import { hasCoilLimiter, trueUnit } from './true-unit.js';
import { type HeardPrompt, VirtualOperator } from './virtual-operator.js';
import { type WayWatch, wayWatch } from './way-watch.js';

type RigPart = NonNullable<VirtualCase['stuckOn']>[number];

const ALL_OFF: BoardOutputs = {
  feedLimited: false,
  feedFull: false,
  throwForward: false,
  throwReverse: false,
  coilFull: false,
};

interface Input {
  read(): number;
  counts(reading: number): number;
}

/** A dropped-out brush lands again after between half and one and a half times the case's figure. */
const DROPOUT_SPREAD = [0.5, 1.5] as const;

/** Somebody who does what is asked, when a case says nothing of the person. */
const ATTENTIVE = { delayS: [0.3, 2] as [number, number], takesReverseForForward: false, mistakes: [] };

export class SimulatedBench implements BoardWorld {
  /** What is really there and how it really moves: for tests that hold a measurement against the truth. */
  readonly circuit: UnitCircuit;
  readonly transient: Transient;
  readonly #inputs: (Input | undefined)[];
  readonly #dice: Chance;
  readonly #wornBrushes: VirtualCase['wornBrushes'];
  readonly #parts: Pick<VirtualCase, 'stuckOn' | 'stuckOff' | 'blownFuses'>;
  readonly #hasCoilLimiter: boolean;
  #feedIsOn = false;
  /** The next time the brush lifts or lands. */
  #brushAtS = Number.POSITIVE_INFINITY;
  #brushTouches = true;
  /** Which way the output went; none where nothing turns. */
  readonly #way: WayWatch | undefined;
  /** Throws the unit's own switch, where the rig does not. */
  readonly #operator: VirtualOperator | undefined;

  /**
   * @param wired what a hand has moved on the bench beforehand, a sense clip for one.
   * @param isBuiltOn with the limiter of the coils' feed, as from hardware revision 2 on.
   * @throws RangeError for a case that does not fit the unit, CircuitError for a circuit that cannot be solved.
   */
  constructor(
    unit: ResolvedUnit,
    virtualCase: VirtualCase,
    dice: Chance,
    wired: (circuit: UnitCircuit) => UnitCircuit = (circuit) => circuit,
    isBuiltOn = true,
  ) {
    this.#dice = dice;
    this.#hasCoilLimiter = isBuiltOn && hasCoilLimiter(unit);
    this.circuit = wired(trueUnit(unit, virtualCase, dice, this.#hasCoilLimiter));
    this.transient = createTransient(this.circuit.netlist);
    this.#inputs = inputChannels(unit.rig, dice).map(
      (input) =>
        input && { read: this.transient.reader(this.circuit.probes[input.channel]), counts: input.counts },
    );
    this.#wornBrushes = virtualCase.wornBrushes;
    this.#parts = virtualCase;
    this.#operator =
      unit.plan.throwBy === 'operator' ? new VirtualOperator(virtualCase.hand ?? ATTENTIVE, dice) : undefined;
    this.#way = wayWatch(unit, virtualCase, () =>
      this.transient.reader({ kind: 'angle', element: this.circuit.motorId }),
    );
    this.#planBrush(0);
    this.#set(0, ALL_OFF);
  }

  outputsChanged(atS: number, outputs: BoardOutputs): void {
    this.#advance(atS);
    this.#set(atS, outputs);
  }

  adcCounts(channel: number, atS: number): number {
    const input = this.#inputs[channel];
    if (input === undefined) return 0;
    this.#advance(atS);
    return input.counts(input.read());
  }

  /** A meter without error on what a channel reads, now. */
  meter(channel: Channel): number {
    return this.transient.reader(this.circuit.probes[channel])();
  }

  /** Live behind a closed contact and F4; what a spinning motor puts there is left out. */
  feedBusIsLive(): boolean {
    const isFed = this.#feedIsOn && !this.#parts.blownFuses?.includes('F4');
    return !this.#isStuckOff('Q4') && (isFed || this.#isStuckOn('Q4'));
  }

  /** Which way the output went in the forward throws so far; undefined where nothing turns. */
  turned(): Turned | undefined {
    return this.#way?.turned();
  }

  #set(atS: number, { feedLimited, feedFull, throwForward, throwReverse, coilFull }: BoardOutputs): void {
    const { feed, position } = this.circuit.controls;
    const isFull = this.#isOn(feedFull, 'KB', 'Q2');
    const isLimited = this.#isOn(feedLimited, 'KL', 'Q1');
    this.#feedIsOn = isFull || isLimited;
    const settings: ControlSetting[] = [...feed[isFull ? 'full' : isLimited ? 'limited' : 'off']];
    // Thrown by hand, the rig's own throws are wired to nothing.
    if (this.#operator === undefined || atS === 0) {
      const thrown = throwForward ? 'forward' : throwReverse ? 'reverse' : 'rest';
      this.#way?.thrown(thrown);
      settings.push(...position[thrown]);
    }
    if (this.#hasCoilLimiter)
      settings.push(...COIL_CONTROLS[this.#isOn(coilFull, 'Q5') ? 'full' : 'limited']);
    this.transient.control(atS, settings);
  }

  /** What a part of the rig does when it is driven or not. */
  #isOn(driven: boolean, ...parts: RigPart[]): boolean {
    return this.#isStuckOn(...parts) || (driven && !this.#isStuckOff(...parts));
  }

  #isStuckOn(...parts: RigPart[]): boolean {
    return parts.some((part) => this.#parts.stuckOn?.includes(part));
  }

  #isStuckOff(...parts: RigPart[]): boolean {
    return parts.some((part) => this.#parts.stuckOff?.includes(part));
  }

  /** What the person at the bench is asked to do; without a person nobody hears it. */
  hear(prompt: HeardPrompt): void {
    const asked = prompt.ask === undefined ? undefined : this.circuit.controls.asks[prompt.ask];
    if (prompt.code === 'ask' && asked) this.transient.control(this.transient.timeS, asked);
    this.#operator?.hear(prompt, this.transient.timeS);
  }

  #advance(toS: number): void {
    const hand = this.#operator;
    while (hand && hand.nextS <= toS) {
      this.#advanceBrush(hand.nextS);
      const moved: Position = hand.move();
      this.#way?.thrown(moved);
      const position = this.circuit.controls.position[moved];
      this.transient.control(this.transient.timeS, position);
    }
    this.#advanceBrush(toS);
  }

  #advanceBrush(toS: number): void {
    while (this.#brushAtS <= toS) {
      const atS = this.#brushAtS;
      if (atS > this.transient.timeS) this.transient.advance(atS);
      this.#brushTouches = !this.#brushTouches;
      this.transient.control(this.transient.timeS, [
        { element: brushContactOf(this.circuit.motorId), state: this.#brushTouches },
      ]);
      this.#planBrush(atS);
    }
    if (toS > this.transient.timeS) this.transient.advance(toS);
  }

  /** Lifts come at random like radioactive decay, so many a second; landing is planned when it lifts. */
  #planBrush(fromS: number): void {
    const worn = this.#wornBrushes;
    if (worn === undefined || worn.dropoutsPerS === 0) return;
    this.#brushAtS =
      fromS +
      (this.#brushTouches
        ? -Math.log(1 - this.#dice.uniform()) / worn.dropoutsPerS
        : worn.dropoutS * this.#dice.between(...DROPOUT_SPREAD));
  }
}
