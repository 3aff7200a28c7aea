// An older board is told by name what it lacks, its image apart from its circuit; one that is newer, or as new, lacks nothing.

import { describe, expect, it } from 'vitest';
import { FIRMWARE_VERSION } from '../../firmware-protocol/index.js';
import { lacksOf, lacksTold } from '../../host/rig/index.js';

describe('what a board lacks', () => {
  it('is nothing for the image that comes with the program on the rig of RIG.md, and for what is newer', () => {
    for (const firmwareVersion of [FIRMWARE_VERSION, '1.10.0', '2.0.0'])
      expect(lacksTold({ firmwareVersion, hardwareRevision: 2 })).toBeUndefined();
  });

  it('is told by name for the images before, with where to flash', () => {
    const old = lacksTold({ firmwareVersion: '1.0.3' });
    expect(old?.sentence).toMatch(
      /^This rig's firmware 1\.0\.3 is older than this program: it never holds through/,
    );
    expect(old?.advice).toContain('FLASH.md');
    expect(lacksOf({ firmwareVersion: '1.0.0' })).toContain('sees a feed that is stuck on');
    expect(lacksOf({ firmwareVersion: '1.1.0' })).toEqual([
      'feeds relay coils through a limiter first',
      'sees that its feed comes on',
    ]);
  });

  it('is told of the circuit once the image is new', () => {
    const built = lacksTold({ firmwareVersion: FIRMWARE_VERSION, hardwareRevision: 1 });
    expect(built?.sentence).toBe(
      'This rig is built as hardware revision 1: it never feeds relay coils through a limiter first; never sees that its feed comes on.',
    );
    expect(built?.advice).toContain('RIG.md');
  });
});
