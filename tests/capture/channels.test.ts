// The records of the channels: complete, without clashes, and what the board's letters mean.

import { describe, expect, it } from 'vitest';
import { SCAN_LETTERS } from '../../firmware-protocol/index.js';
import {
  absentChannels,
  CHANNEL,
  CHANNELS,
  channelOfLetter,
  fineLetterOf,
  letterOf,
  perChannel,
  RIG_CHANNELS,
  sampledChannels,
} from '../../host/capture/index.js';

describe('the records of the channels', () => {
  it.each(['label', 'words', 'short', 'column', 'letter'] as const)(
    'give each channel a %s of its own',
    (field) => {
      const told = CHANNELS.flatMap((channel) => CHANNEL[channel][field] ?? []);
      expect(told.length).toBeGreaterThanOrEqual(RIG_CHANNELS.length);
      expect(new Set(told).size).toBe(told.length);
    },
  );

  it('have one channel for every letter of the board, and no other', () => {
    const fine = RIG_CHANNELS.filter((channel) => CHANNEL[channel].fineLetter !== undefined);
    const letters = [...RIG_CHANNELS.map(letterOf), ...fine.map(fineLetterOf)];
    expect(letters.sort()).toEqual(Object.keys(SCAN_LETTERS).sort());
    for (const channel of RIG_CHANNELS) expect(channelOfLetter(letterOf(channel))).toBe(channel);
    for (const channel of fine) expect(channelOfLetter(fineLetterOf(channel))).toBe(channel);
    expect(() => fineLetterOf('leadAVoltageV')).toThrow('no rig reads lead A finely');
    expect(() => channelOfLetter('X')).toThrow('no channel has the letter X');
  });

  it('say in every word for people what it is, never its name in the code', () => {
    for (const channel of CHANNELS) {
      const { label, words, short } = CHANNEL[channel];
      for (const text of [label, words, short]) expect(text).not.toMatch(/[a-z][A-Z]/);
    }
  });

  it('draw lines of one panel in different inks, and in one unit', () => {
    const drawn = CHANNELS.map(
      (channel) => `${CHANNEL[channel].picture.panel} ${CHANNEL[channel].picture.ink}`,
    );
    expect(new Set(drawn).size).toBe(CHANNELS.length);
    const units = new Map(CHANNELS.map((channel) => [CHANNEL[channel].picture.panel, CHANNEL[channel].unit]));
    for (const channel of CHANNELS)
      expect(units.get(CHANNEL[channel].picture.panel)).toBe(CHANNEL[channel].unit);
  });
});

describe('channels of a capture', () => {
  const one = new Float64Array([1]);
  const capture = { channels: { leadBVoltageV: one, feedCurrentA: one } };

  it('are told in the order that is kept everywhere, those that were not sampled apart', () => {
    expect(sampledChannels(capture.channels)).toEqual([
      ['feedCurrentA', one],
      ['leadBVoltageV', one],
    ]);
    expect(absentChannels(capture)).toEqual(
      CHANNELS.filter((channel) => channel !== 'feedCurrentA' && channel !== 'leadBVoltageV'),
    );
  });

  it('have one value each where something is made for every one', () => {
    const units = perChannel((channel) => CHANNEL[channel].unit);
    expect(Object.keys(units)).toEqual(CHANNELS);
    expect(units.coilCurrentA).toBe('A');
  });
});
