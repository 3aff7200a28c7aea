// Sorts whatever a serial binding throws into the link's own codes, in this one place. The native binding puts the
// system's words into the message and mostly sets no code (seen with bindings 13 on Linux), so both are read.

import type { LinkErrorCode } from './error-texts.js';
import { LinkError } from './link-error.js';

interface BindingTrouble {
  message?: string;
  code?: string;
  canceled?: boolean;
}

const AT_OPEN: readonly (readonly [RegExp, LinkErrorCode])[] = [
  [
    /cannot lock port|EBUSY|EAGAIN|resource busy|temporarily unavailable|already open|port is locked/i,
    'port-busy',
  ],
  [/ENOENT|ENXIO|ENODEV|no such (file|device)|file not found|port does not exist/i, 'port-not-found'],
  [/EACCES|EPERM|permission denied|access (is )?denied|not permitted/i, 'port-permission'],
  [/error code (121|31)\b|EIO|input\/output error/i, 'port-driver-fault'],
  [/ENOTTY|EISDIR|inappropriate ioctl|is a directory/i, 'port-not-serial'],
  [/No native build|bindings file|\.node\b|ERR_DLOPEN_FAILED|ERR_MODULE_NOT_FOUND/i, 'add-on-missing'],
];

/** How the systems say that the device behind an open port is gone. */
const VANISHED =
  /bad file descriptor|no such device|not configured|EBADF|ENXIO|ENODEV|input\/output error|EIO/i;

/** An error from opening `path`; a LinkError passes through. */
export function sortOpenError(error: unknown, path: string): LinkError {
  if (error instanceof LinkError) return error;
  const { message = String(error), code = '', canceled } = (error ?? {}) as BindingTrouble;
  if (canceled === true) return new LinkError('cancelled', { path }, error);
  const words = systemWords(message);
  const found = AT_OPEN.find(([pattern]) => pattern.test(`${code} ${message}`))?.[1];
  return new LinkError(found ?? 'port-open-failed', { path, said: words }, error);
}

/** An error, close event or silence of an open port. Any write or read error is loss unless we closed it. */
export function sortOpenPortError(error: unknown, path: string): LinkError {
  if (error instanceof LinkError) return error;
  const { message, canceled } = (error ?? {}) as BindingTrouble;
  if (canceled === true) return new LinkError('cancelled', { path }, error);
  const words = systemWords(message ?? 'port closed');
  return new LinkError(
    'link-lost',
    { path, said: VANISHED.test(words) ? 'the port vanished' : words },
    error,
  );
}

/** The system's words without the binding's repeated prefixes and without a second line. */
function systemWords(message: string): string {
  const line = message.split('\n')[0] ?? '';
  return line
    .replace(/^(Error:? ?)+/, '')
    .replace(/, cannot open .*$/, '')
    .trim();
}
