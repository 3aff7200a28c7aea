// Bytes as a hand, a code reader and a pedal give them, told apart by their times.

import { describe, expect, it } from 'vitest';
import { KeyReader } from '../../host/screens/key-reader.js';
import { StepClock } from './step-clock.js';

function reader({ isTyping = false, isRunning = false, startKey = undefined as string | undefined } = {}) {
  const clock = new StepClock();
  const told: string[] = [];
  const keys = new KeyReader(
    {
      ...{ isTyping, isRunning },
      press: (action) => told.push(action),
      type: (character) => told.push(`type ${character}`),
      erase: () => told.push('erase'),
      scan: (text) => told.push(`scan ${text}`),
    },
    clock,
    startKey,
  );
  /** One character at a time, `gapS` apart. */
  const send = (text: string, gapS: number): void => {
    for (const character of text) {
      keys.take(character === '\r' ? '' : character, { return: character === '\r' });
      clock.advance(gapS);
    }
  };
  return { keys, clock, told, send };
}

const TYPED = [...'V-0107'].map((character) => `type ${character}`);

describe('keys and scans', () => {
  it.each([0.001, 0.015])('takes characters %f s apart and their Enter for one scan', (gapS) => {
    const { told, send } = reader();
    send('V-0107\r', gapS);
    expect(told).toEqual(['scan V-0107']);
  });

  it('takes a scan that arrives as one piece, with either line end, for one scan', () => {
    for (const end of ['\r', '\r\n', '']) {
      const { keys, told, clock } = reader();
      keys.take(`V-0107${end}`, {});
      clock.advance(1);
      expect(told).toEqual(['scan V-0107']);
    }
  });

  it('takes the end that a reader was set to in place of Enter for one: line feed, Tab, ETX after STX', () => {
    const ends = ['V-0107\n', 'V-0107\t', '\u0002V-0107\u0003'];
    for (const piece of ends)
      for (const isTyping of [false, true]) {
        const { keys, told, clock } = reader({ isTyping });
        keys.take(piece, {});
        clock.advance(1);
        expect(told).toEqual(isTyping ? [...TYPED, 'go-on'] : ['scan V-0107']);
      }
  });

  it('takes those ends for one as well where the characters come one by one', () => {
    const ends = [
      ['\n', {}],
      ['', { tab: true }],
    ] as const;
    for (const isTyping of [false, true]) {
      const wanted = isTyping ? [...TYPED, 'go-on'] : ['scan V-0107'];
      for (const [input, key] of ends) {
        const { keys, told, send } = reader({ isTyping });
        send('V-0107', 0.01);
        keys.take(input, key);
        expect(told).toEqual(wanted);
      }
      const { keys, told, send } = reader({ isTyping });
      keys.take('b', { ctrl: true });
      send('V-0107', 0.01);
      keys.take('c', { ctrl: true });
      expect(told).toEqual(wanted);
    }
  });

  it('leaves Tab and Ctrl-C of a hand what they are', () => {
    for (const [key, action] of [
      [{ tab: true }, 'rooms'],
      [{ ctrl: true }, 'leave'],
    ] as const) {
      const { keys, told, send } = reader({ isTyping: true });
      send('V-0107', 0.12);
      keys.take('ctrl' in key ? 'c' : '', key);
      expect(told).toEqual([...TYPED, action]);
    }
    // Fast, but no reader's frame.
    const { keys, told, send } = reader();
    send('V-0107', 0.01);
    keys.take('c', { ctrl: true });
    expect(told).toEqual(['leave']);
  });

  it('stops a run for a scan in a frame, and does not leave for its ETX', () => {
    const { keys, told, send } = reader({ isRunning: true });
    keys.take('b', { ctrl: true });
    send('V-0107', 0.01);
    keys.take('c', { ctrl: true });
    expect(told).not.toContain('leave');
    expect(told.filter((one) => one.startsWith('scan'))).toEqual(['scan V-0', 'scan 107']);
  });

  it('takes keys of a hand one by one', () => {
    const { told, send } = reader();
    send('rsz', 0.12);
    send('\r', 1);
    expect(told).toEqual(['again', 'skip', 'hold', 'go-on']);
  });

  it('erases as often as a Backspace that is held down comes in one piece', () => {
    const { keys, told } = reader({ isTyping: true });
    keys.take('\u007f\u007f\b', {});
    expect(told).toEqual(['erase', 'erase', 'erase']);
  });

  it('takes a key that is held down for keys, not for a scan', () => {
    const { told, send } = reader();
    send('rrrrr', 0.033);
    expect(new Set(told)).toEqual(new Set(['again']));
  });

  it('takes neither key nor Enter from what is too short for a tag and too fast for a hand', () => {
    const { told, send, clock } = reader();
    send('r\r', 0.002);
    clock.advance(1);
    expect(told).toEqual([]);
  });

  it('never lets the Enter of a scan, or a second line end, stand for a key', () => {
    const { told, send } = reader();
    send('V-0107\r\r', 0.004);
    expect(told).toEqual(['scan V-0107']);
  });

  it('sends outputs off for a space within a scan at once', () => {
    const { keys, told } = reader();
    keys.take('V 0107', {});
    expect(told).toEqual(['outputs-off']);
  });

  it('does not wait for the end of a scan while something may be energised', () => {
    const { keys, told } = reader({ isRunning: true });
    for (const character of 'V-01') keys.take(character, {});
    expect(told).toEqual(['scan V-0']);
  });
});

describe('text', () => {
  it('takes every character where text is typed, a space too, and Esc still for outputs off', () => {
    const { keys, told } = reader({ isTyping: true });
    keys.take('a b', {});
    keys.take('', { backspace: true });
    keys.take('', { escape: true });
    keys.take('', { return: true });
    expect(told).toEqual(['type a', 'type  ', 'type b', 'erase', 'outputs-off', 'go-on']);
  });

  it('takes back with Ctrl-Z', () => {
    const { keys, told } = reader({ isTyping: true });
    keys.take('z', { ctrl: true });
    expect(told).toEqual(['undo']);
  });
});

describe('a foot switch', () => {
  it('is an Enter wherever it is trodden', () => {
    for (const isTyping of [true, false]) {
      const { send, told } = reader({ startKey: '+', isTyping });
      send('+', 1);
      send('+', 1);
      expect(told).toEqual(['go-on', 'go-on']);
    }
  });

  it('counts once when its contact bounces', () => {
    const { send, told } = reader({ startKey: '+' });
    send('++++', 0.01);
    expect(told).toEqual(['go-on']);
  });
});
