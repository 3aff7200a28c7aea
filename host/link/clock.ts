// One source of time for host code that waits: the wall clock, or the virtual clock of an unpaced rig.
// Everything in link/, rig/, virtual-rig/ and bench/ waits through this, so that the board's host-silence
// stop means the same thing at any speed.

export interface Timer {
  cancel(): void;
}

export interface Clock {
  /** Monotonic seconds from an arbitrary origin. */
  nowS(): number;
  after(delayS: number, action: () => void): Timer;
  sleep(delayS: number): Promise<void>;
}

export const wallClock: Clock = {
  nowS: () => performance.now() / 1000,
  after(delayS, action) {
    const handle = setTimeout(action, delayS * 1000);
    return { cancel: () => clearTimeout(handle) };
  },
  sleep: (delayS) => new Promise((resolve) => setTimeout(resolve, delayS * 1000)),
};
