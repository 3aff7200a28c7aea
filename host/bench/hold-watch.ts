// A hold that lasts until the motor's protector opens: counted down for whoever stands beside it, and ended at once when the
// winding itself has grown hot.

import { sampleAt } from '../arrays/index.js';
import { WindingHeat } from '../measure/index.js';
import type { SampleBlock } from '../rig/index.js';
import { amount } from '../tell/index.js';
import type { HandPrompt, PlannedStep } from './planned.js';

/** Often enough to be seen going down, seldom enough to be read. */
const TOLD_EVERY_S = 5;

export class HoldWatch {
  #heat = new WindingHeat();
  #step: PlannedStep | undefined;
  #endsAtS = 0;
  #toldS = Number.POSITIVE_INFINITY;

  /** Of a step that begins at `atS` of board time; any other than a hold for a protector is not watched. */
  start(step: PlannedStep, atS: number): void {
    this.#step = step.untilProtectorOpens ? step : undefined;
    this.#heat = new WindingHeat();
    this.#endsAtS = atS + step.durationS;
    this.#toldS = Number.POSITIVE_INFINITY;
  }

  /** The winding is hot: its own slow rise, no protector's climb. */
  get isOver(): boolean {
    return this.#step !== undefined && this.#heat.hotAfterS !== undefined;
  }

  /** What the person is told now; undefined while there is nothing new. */
  add({ timeS, channels }: SampleBlock): HandPrompt | undefined {
    const step = this.#step;
    const { motorCurrentA, leadAVoltageV, leadBVoltageV } = channels;
    if (step === undefined || step.position === 'rest') return undefined;
    if (motorCurrentA && leadAVoltageV && leadBVoltageV) {
      for (let i = 0; i < timeS.length; i++)
        this.#heat.add(
          sampleAt(timeS, i),
          Math.abs(sampleAt(leadAVoltageV, i) - sampleAt(leadBVoltageV, i)),
          Math.abs(sampleAt(motorCurrentA, i)),
        );
    }
    const leftS = Math.ceil((this.#endsAtS - (timeS.at(-1) ?? 0)) / TOLD_EVERY_S) * TOLD_EVERY_S;
    if (leftS >= this.#toldS || leftS <= 0) return undefined;
    this.#toldS = leftS;
    const sentence = `Held until its protector opens, ${amount(leftS, 's', 0)} more at most. The stop switch is armed; Space or Esc: outputs off.`;
    return { code: 'hold', position: step.position, sentence };
  }
}
