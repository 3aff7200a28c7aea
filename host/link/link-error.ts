// The one error class of link and rig. The code is permanent and for programs; what an operator should read stands
// in error-texts.ts. `disconnected` and `cancelled` are different families: one is trouble, the other was asked for.

import {
  adviceFor,
  type ErrorFamily,
  type LinkErrorCode,
  type LinkErrorDetails,
  sentenceFor,
  TROUBLE,
} from './error-texts.js';

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
    this.family = isHeldOnWindows ? 'retry' : (TROUBLE[code].family ?? 'final');
    this.advice = adviceFor(code, details);
  }
}
