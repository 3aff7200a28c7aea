// The band of a profile computed in threads is the band computed in one, to the last bit.

import { expect, it } from 'vitest';
import { bandInThreads } from '../../host/bench/index.js';
import { mergeBands, toleranceBand } from '../../host/circuit/index.js';
import { loadUnit } from '../../host/profile/index.js';

const unit = loadUnit('roof-vent-switch');

it('gives the same band in two threads as in one, 20 draws with seed 41', async () => {
  const options = { draws: 20, seed: 41, sampleRateHz: 1000 };
  expect(await bandInThreads(unit, options, 2)).toEqual(toleranceBand(unit, options));
});

it('merges shares of one seed to the whole band, whatever their number', () => {
  const options = { draws: 7, seed: 42, sampleRateHz: 1000 };
  const shares = [0, 1, 2].map((index) => toleranceBand(unit, { ...options, share: { index, of: 3 } }));
  expect(mergeBands(shares)).toEqual(toleranceBand(unit, options));
  expect(shares[0]!.upper).not.toEqual(shares[1]!.upper);
});
