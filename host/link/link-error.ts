// The one error class of link and rig. The code is permanent and for programs; what an operator should read stands
// in error-texts.ts. `disconnected` and `cancelled` are different families: one is trouble, the other was asked for.

import { adviceFor, sentenceFor } from './error-texts.js';

export const LINK_ERROR_CODES = [
  'port-not-found',
  'port-permission',
  'port-busy',
  'port-driver-fault',
  'port-not-serial',
  'port-open-failed',
  'add-on-missing',
  'no-answer',
  'not-a-rig',
  'protocol-version',
  'other-rig',
  'reply-timeout',
  'refused',
  'link-lost',
  'cancelled',
] as const;
export type LinkErrorCode = (typeof LINK_ERROR_CODES)[number];

/** What the link may do about it: try again, report the loss, stay silent because it was asked for, or give up. */
export type ErrorFamily = 'retry' | 'disconnected' | 'cancelled' | 'final';

const FAMILY: Record<LinkErrorCode, ErrorFamily> = {
  'port-not-found': 'final',
  'port-permission': 'final',
  'port-busy': 'retry',
  'port-driver-fault': 'retry',
  'port-not-serial': 'final',
  'port-open-failed': 'final',
  'add-on-missing': 'final',
  'no-answer': 'final',
  'not-a-rig': 'final',
  'protocol-version': 'final',
  'other-rig': 'final',
  'reply-timeout': 'retry',
  refused: 'final',
  'link-lost': 'disconnected',
  cancelled: 'cancelled',
};

/** Facts that the sentences are made of; all optional, all typed. */
export interface LinkErrorDetails {
  path?: string;
  /** What the operating system or the board said. */
  said?: string;
  /** The request that was refused or not answered. */
  request?: string;
  /** The board's refusal number. */
  refusal?: number;
  /** The number that goes with the refusal, such as the milliseconds of dead time left. */
  refusalDetail?: number;
  boardVersion?: string;
  hostVersion?: string;
  /** Id that the board answered with, and the one that was asked for. */
  rigId?: string;
  wantedRigId?: string;
  /** How long was waited, in seconds. */
  waitedS?: number;
}

export class LinkError extends Error {
  override readonly name = 'LinkError';
  readonly family: ErrorFamily;
  /** Likely cause and next step, for the operator on the system at hand. */
  readonly advice: string;

  constructor(
    readonly code: LinkErrorCode,
    readonly details: LinkErrorDetails = {},
    cause?: unknown,
  ) {
    super(sentenceFor(code, details), cause === undefined ? {} : { cause });
    // Windows says "access denied" for a port that is held, or not yet let go after a crash: worth another try there.
    const isHeldOnWindows = code === 'port-permission' && process.platform === 'win32';
    this.family = isHeldOnWindows ? 'retry' : FAMILY[code];
    this.advice = adviceFor(code, details);
  }
}
