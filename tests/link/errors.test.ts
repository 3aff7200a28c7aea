import { describe, expect, it } from 'vitest';
import { adviceFor, LinkError, type LinkErrorCode, sentenceFor, TROUBLE } from '../../host/link/index.js';
import { sortOpenError, sortOpenPortError } from '../../host/link/sort-error.js';

describe('errors of opening a port', () => {
  // The first five as the native binding 13.0 worded them on Linux; the rest as reported for other systems in the
  // issue tracker of node-serialport (numbers 1104, 1340, 1502) and by Node's own system error names.
  it.each([
    ['Error: No such file or directory, cannot open /dev/ttyUSB9', 'port-not-found'],
    ['Error: Permission denied, cannot open /dev/ttyUSB0', 'port-permission'],
    ['Error Resource temporarily unavailable Cannot lock port', 'port-busy'],
    ['Error: Inappropriate ioctl for device setting custom baud rate of 500000', 'port-not-serial'],
    ['Error: Is a directory, cannot open /tmp', 'port-not-serial'],
    ['Opening COM5: Access denied', 'port-permission'],
    ['Opening COM5: File not found', 'port-not-found'],
    ['Opening COM3: Unknown error code 121', 'port-driver-fault'],
    ['Opening COM3: Unknown error code 31', 'port-driver-fault'],
    ['Error: Resource busy, cannot open /dev/cu.usbmodem1', 'port-busy'],
    ['No native build was found for platform=linux arch=arm', 'add-on-missing'],
    ['something nobody has seen', 'port-open-failed'],
  ])('%s is %s', (message, code) => {
    const error = sortOpenError(new Error(message), '/dev/x');
    expect(error.code).toBe(code);
    expect(error.message).toContain('/dev/x'.slice(code === 'add-on-missing' ? 6 : 0));
    expect(error.message).not.toMatch(/Error: ?Error|\n/);
  });

  it('keeps what was thrown as the cause', () => {
    const cause = new Error('Permission denied, cannot open /dev/x');
    expect(sortOpenError(cause, '/dev/x').cause).toBe(cause);
  });
});

describe('errors of an open port', () => {
  it('are a loss, whatever they say, unless the port was closed on purpose', () => {
    expect(sortOpenPortError(new Error('bad file descriptor'), 'p').family).toBe('disconnected');
    expect(sortOpenPortError(undefined, 'p').family).toBe('disconnected');
    expect(sortOpenPortError(Object.assign(new Error('x'), { canceled: true }), 'p').family).toBe(
      'cancelled',
    );
  });
});

describe('texts for the operator', () => {
  it.each(Object.keys(TROUBLE) as LinkErrorCode[])(
    '%s has one sentence and a next step on every system',
    (code) => {
      const sentence = sentenceFor(code, { path: '/dev/x' });
      expect(sentence).toMatch(/^\S[^\n]*[^.\s]$/);
      for (const system of ['linux', 'darwin', 'win32'] as const) {
        const advice = adviceFor(code, { path: '/dev/x' }, system);
        expect(advice).toMatch(/^[A-Z][^\n]+\.$/);
        expect(advice).not.toMatch(/PORT|undefined/);
      }
    },
  );

  it('gives the fix for the system at hand', () => {
    expect(adviceFor('port-permission', {}, 'linux')).toMatch(/dialout.*log out/);
    expect(adviceFor('port-permission', {}, 'win32')).toMatch(/driver is stuck/);
    expect(adviceFor('port-busy', { path: '/dev/ttyACM0' }, 'linux')).toMatch(
      /fuser -v \/dev\/ttyACM0.*ModemManager/,
    );
    expect(adviceFor('no-answer', {}, 'darwin')).toMatch(/\/dev\/cu\./);
  });

  it('carries code, details and advice in one error', () => {
    const error = new LinkError('refused', { request: 'arm', refusal: 32, said: 'the stop loop is open' });
    expect(error).toMatchObject({
      name: 'LinkError',
      code: 'refused',
      family: 'final',
      details: { refusal: 32 },
    });
    expect(error.message).toBe('the rig refused "arm" (number 32): the stop loop is open');
  });
});
