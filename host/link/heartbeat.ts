// Heartbeat both ways. The host shows itself to the board well inside its silence limit and asks its state, so that
// a stop or a restart is noticed even when its own message was lost; silence of the board is loss, whatever the
// operating system says or does not say about the port.

import type { Clock, Timer } from './clock.js';

/** Three beats inside the board's 250 ms. */
export const BEAT_S = 0.075;
/** Noticed at the next beat after this, so within 0.5 s. */
const SILENCE_IS_LOSS_S = 0.38;

export interface HeartbeatDuties {
  beat(): void;
  /** Called once, with the silence that was measured. */
  onLoss(silenceS: number): void;
  onSilence(silenceS: number): void;
}

export class Heartbeat {
  #timer: Timer | undefined;
  #background = true;
  #lastTickS: number;
  #lineSilenceS = 0;
  #replySilenceS = 0;

  constructor(
    readonly clock: Clock,
    readonly duties: HeartbeatDuties,
  ) {
    this.#lastTickS = clock.nowS();
    this.#set();
  }

  /** Any valid line came. */
  heardLine(): void {
    this.#lineSilenceS = 0;
  }

  /** An answer came: the way to the board works too. */
  heardReply(): void {
    this.#lineSilenceS = 0;
    this.#replySilenceS = 0;
  }

  /** While outputs may be on or samples come, time must go on for the beat; otherwise it need not. */
  set isWatching(watching: boolean) {
    if (this.#background === !watching) return;
    this.#background = !watching;
    this.stop();
    this.#set();
  }

  stop(): void {
    this.#timer?.cancel();
    this.#timer = undefined;
  }

  #set(): void {
    this.#timer = this.clock.after(BEAT_S, () => this.#tick(), { background: this.#background });
  }

  #tick(): void {
    const nowS = this.clock.nowS();
    // A program that was held up itself has not listened: what the board sent meanwhile still waits to be read.
    const listenedS = Math.min(nowS - this.#lastTickS, 1.5 * BEAT_S);
    this.#lastTickS = nowS;
    this.#lineSilenceS += listenedS;
    this.#replySilenceS += listenedS;
    this.duties.onSilence(this.#lineSilenceS);
    if (Math.max(this.#lineSilenceS, this.#replySilenceS) > SILENCE_IS_LOSS_S) {
      this.stop();
      this.duties.onLoss(Math.max(this.#lineSilenceS, this.#replySilenceS));
      return;
    }
    this.#set();
    this.duties.beat();
  }
}
