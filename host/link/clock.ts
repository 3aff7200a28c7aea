// One source of time for host code that waits: the wall clock, or the virtual clock of an emulated rig.
// Everything in link/, rig/, virtual-rig/ and bench/ waits through this, so that the board's host-silence
// stop means the same thing at any speed.

export interface Timer {
  cancel(): void;
}

export interface TimerOptions {
  /**
   * Nobody waits for this timer (an idle poll). On the wall clock it does not keep the process alive; a virtual
   * clock stands still while only such timers are pending, so that an idle emulated rig costs nothing.
   */
  background?: boolean;
}

export interface Clock {
  /** Monotonic seconds from an arbitrary origin. */
  nowS(): number;
  after(delayS: number, action: () => void, options?: TimerOptions): Timer;
  sleep(delayS: number): Promise<void>;
}

export const wallClock: Clock = {
  nowS: () => performance.now() / 1000,
  after(delayS, action, options) {
    const handle = setTimeout(action, delayS * 1000);
    if (options?.background === true) handle.unref();
    return { cancel: () => clearTimeout(handle) };
  },
  sleep: (delayS) => new Promise((resolve) => setTimeout(resolve, delayS * 1000)),
};
