// Tags that number themselves, the profile a tag stands for, and which ports are a known rig's.

import { describe, expect, it } from 'vitest';
import { rigsAt } from '../../host/commands/open-flow/place.js';
import { profileOfTag } from '../../host/commands/open-flow/profile-of-tag.js';
import { beginningOf, nextTag } from '../../host/commands/open-flow/tags.js';
import type { RunSummary } from '../../host/records/index.js';

describe('tags', () => {
  it.each([
    ['V-0107', 'V-0108'],
    ['V-0999', 'V-1000'],
    ['7', '8'],
    ['van 9', 'van 10'],
    ['step', undefined],
  ])('after %s comes %s', (tag, next) => {
    expect(nextTag(tag, new Set())).toBe(next);
  });

  it('leaves out numbers that are taken', () => {
    expect(nextTag('V-0107', new Set(['V-0108', 'V-0109']))).toBe('V-0110');
  });

  it('begin with what stands before the number', () => {
    expect([beginningOf('V-0107'), beginningOf('step')]).toEqual(['V-', 'step']);
  });
});

describe('the profile of a tag', () => {
  const runs = [
    { tag: 'V-0106', profileId: 'roof-vent-switch' },
    { tag: 'S-1', profileId: 'seat-slide-relays' },
    { tag: 'V-0105', profileId: 'entry-step-relays' },
  ] as RunSummary[];
  const store = {
    listRuns: ({ tag }: { tag?: string } = {}) => runs.filter((run) => tag === undefined || run.tag === tag),
    listedProfile: (tag: string) => (tag === 'V-0199' ? 'seat-slide-relays' : undefined),
  };

  it.each([
    ['VX-1', { V: 'window-lift-switch', VX: 'window-lift-alone' }, 'window-lift-alone'],
    ['V-0105', {}, 'entry-step-relays'],
    ['V-0107', {}, 'roof-vent-switch'],
    ['X-1', {}, undefined],
    ['V-0199', { V: 'window-lift-switch' }, 'seat-slide-relays'],
  ])('of %s with %j is %s', (tag, settled, profile) => {
    expect(profileOfTag(tag, settled, store)).toBe(profile);
  });
});

describe('a known rig', () => {
  const port = (path: string, more: object = {}) => ({
    path,
    ...{ manufacturer: undefined, serialNumber: undefined, pnpId: undefined, locationId: undefined },
    ...{ productId: '7523', vendorId: '1a86' },
    ...more,
  });

  it('is known by the number of the piece, whatever the path; without one by path and socket', () => {
    const numbered = { vendorId: '1a86', productId: '7523', serialNumber: 'A7' };
    const rigs = [
      { rigId: 'bench-1', path: '/dev/ttyUSB0', usb: numbered },
      {
        rigId: 'bench-2',
        path: '/dev/ttyUSB1',
        usb: { vendorId: '1a86', productId: '7523', locationId: '1-2' },
      },
    ];
    const found = (ports: ReturnType<typeof port>[]) => rigsAt(ports, rigs).map(({ rigId }) => rigId);
    expect(found([port('/dev/ttyUSB9', { serialNumber: 'A7' })])).toEqual(['bench-1']);
    expect(found([port('/dev/ttyUSB1', { locationId: '1-2' })])).toEqual(['bench-2']);
    expect(found([port('/dev/ttyUSB2', { locationId: '1-2' })])).toEqual([]);
    expect(found([port('/dev/ttyUSB1', { locationId: '1-3' })])).toEqual([]);
    expect(found([port('/dev/ttyUSB0', { serialNumber: 'A8' })])).toEqual([]);
  });

  it('is nothing that shows no number of its own and has another path', () => {
    const slot = { rigId: 'bench-3', path: '/dev/ttyS0', usb: {} };
    const bare = port('/dev/ttyS1', { vendorId: undefined, productId: undefined });
    expect(rigsAt([bare], [slot])).toEqual([]);
    expect(rigsAt([{ ...bare, path: '/dev/ttyS0' }], [slot])).toHaveLength(1);
  });
});
