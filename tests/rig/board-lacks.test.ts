// An older board is told by name what it lacks; one that is newer, or as new, lacks nothing.

import { describe, expect, it } from 'vitest';
import { FIRMWARE_VERSION } from '../../firmware-protocol/index.js';
import { lacksOf, lacksSentence } from '../../host/rig/index.js';

describe('what a board lacks', () => {
  it('is nothing for the image that comes with the program, and for a newer one', () => {
    for (const version of [FIRMWARE_VERSION, '1.1.0', '1.10.0', '2.0.0'])
      expect(lacksSentence(version)).toBeUndefined();
  });

  it('is told by name for firmware 1.0', () => {
    expect(lacksOf('1.0.0')).toContain('sees a feed that is stuck on');
    expect(lacksSentence('1.0.3')).toMatch(
      /^This rig's firmware 1\.0\.3 is older than this program: it never holds through/,
    );
  });
});
