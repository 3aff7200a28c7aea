// A world for the emulated board without a circuit: the motor current follows the throw at once. For tests of link,
// rig and virtual rig that are not about motors.

import type { BoardOutputs, BoardWorld } from '../../host/virtual-rig/index.js';

export const OFF: BoardOutputs = {
  feedLimited: false,
  feedFull: false,
  throwForward: false,
  throwReverse: false,
  coilFull: false,
};

export class PlainWorld implements BoardWorld {
  outputs = OFF;
  /** Every change, with its true time. */
  readonly changes: { atS: number; outputs: BoardOutputs }[] = [];
  /** Signed motor current while thrown with any feed. */
  motorCurrentA = 5;

  outputsChanged(atS: number, outputs: BoardOutputs): void {
    this.outputs = outputs;
    this.changes.push({ atS, outputs });
  }

  get isOff(): boolean {
    return !Object.values(this.outputs).some(Boolean);
  }

  /** First change at or after `fromS` that switched everything off. */
  offAfter(fromS: number): number | undefined {
    return this.changes.find(({ atS, outputs }) => atS >= fromS && !Object.values(outputs).some(Boolean))
      ?.atS;
  }

  adcCounts(channel: number): number {
    const { feedLimited, feedFull, throwForward, throwReverse } = this.outputs;
    const isFed = feedLimited || feedFull;
    const sign = !isFed ? 0 : throwForward ? 1 : throwReverse ? -1 : 0;
    const amperes = sign * this.motorCurrentA;
    switch (channel) {
      case 0:
        return 512 + amperes / 0.078125;
      case 1:
        return (10 + (sign > 0 ? 12 : 0)) / 0.029296875;
      case 2:
        return (10 + (sign < 0 ? 12 : 0)) / 0.029296875;
      case 3:
        return (8 + Math.abs(amperes)) / 0.078125;
      case 4:
        return sign === 0 ? 0 : 0.16 / 0.0009765625;
      case 5:
        return 12.5 / 0.01953125;
      default:
        return 0;
    }
  }
}
