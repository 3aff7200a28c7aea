// What to do after each latched stop reason.

import type { StopReason } from '../rig/index.js';

export interface StopText {
  advice: string;
  /** Whether the waveform up to the stop says something about the unit. */
  judged: boolean;
}

/** Not the board's: the plan itself stopped short of the full feed. */
export const SHORT_STOP = {
  reason: 'limited-feed-short',
  advice:
    'Find the short before any full feed: pull relays and plugs one by one, and repeat until it is gone.',
} as const;

/** Nor is this: something is driven at rest that the circuit ought to hold still. */
export const FED_STOP = {
  reason: 'fed-at-rest',
  advice: 'Keep hands clear. Look for a welded contact, or 87 and 87a exchanged, before any full feed.',
} as const;

/** Nor this: the coils' own feed is shorted. */
export const COIL_STOP = {
  reason: 'coil-short',
  advice:
    'Press the stop button. Look for a diode the wrong way round, 85 and 86 exchanged, or 30 and 86 exchanged.',
} as const;

export const STOP_TEXTS: Record<StopReason, StopText> = {
  'over-current': {
    advice: 'Look for a short or a held rotor before the next throw; read the leads in the record.',
    judged: true,
  },
  'stop-input': {
    advice: 'Close the stop loop and start the unit again.',
    judged: false,
  },
  'host-silence': {
    advice: 'Check cable and hub, close what loads the computer, and start the unit again.',
    judged: false,
  },
  'longest-hold': {
    advice: 'Shorten the plan step, or raise the longest hold in the rig profile if the motor bears it.',
    judged: false,
  },
  watchdog: {
    advice: 'Look at the board supply and at brush noise on the cable, then start the unit again.',
    judged: false,
  },
  'host-request': {
    advice: 'Start the unit again when it is safe.',
    judged: false,
  },
  'link-lost': {
    advice: 'Check that the motor has stopped, then cable and port, and start the unit again.',
    judged: false,
  },
};
