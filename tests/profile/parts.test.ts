// Files of parts: those that come with the program, a person's own beside them, and what is refused.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile, loadMotor, loadParts } from '../../host/profile/index.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-parts-'));
  mkdirSync(join(folder, 'parts'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
  delete process.env.THROWBENCH_PROFILES;
});

/** A file of parts in the own folder. */
function own(lists: string, id = 'own'): string {
  const path = join(folder, 'parts', `${id}.yaml`);
  writeFileSync(path, `id: ${id}\ntitle: Own parts\nkind: parts\n${lists}`);
  process.env.THROWBENCH_PROFILES = folder;
  return path;
}

const fault = (action: () => unknown): string => {
  try {
    action();
  } catch (error) {
    return (error as Error).message;
  }
  return 'taken';
};

describe('parts that come with the program', () => {
  const { switches, relays, fuses, wires, connectors } = loadParts();

  it('have the preferred ratings of the standard blade fuse', () => {
    // ISO 8820-3, type C, value from memory; its ends agree with a published list of ranges, 3 to 40 A.
    expect(fuses.map(({ ratedA }) => ratedA)).toEqual([1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40]);
  });

  it('have the sizes of IEC 60228 up to 6 mm² and the gauges of the chassis wiring table', () => {
    // IEC 60228:2004 class 5, and HyperPhysics (Georgia State Univ.), Tables/wirega.html.
    expect(wires.flatMap(({ areaMm2 }) => areaMm2 ?? [])).toEqual([0.5, 0.75, 1, 1.5, 2.5, 4, 6]);
    expect(wires.flatMap(({ awg }) => awg ?? [])).toEqual([22, 20, 18, 16, 14, 12, 10]);
  });

  it('have relays as published, 87a never the stronger contact', () => {
    // dtsheet.com/doc/683074; Omron G8JN; ic72.com, 76160116778856.
    expect(relays.map(({ makeA, breakA }) => [makeA, breakA])).toEqual([
      [25, 10],
      [35, 20],
      [40, 30],
    ]);
    expect(relays.every(({ origin }) => origin === 'published')).toBe(true);
  });

  it('are marked where nobody published them', () => {
    for (const part of [...switches, ...connectors]) {
      expect(part.source).toBe('common practice, no source');
      expect(part.origin).toBe('generic');
    }
    for (const { source } of fuses) expect(source).toMatch(/from memory/);
  });
});

describe("a person's own parts", () => {
  it('add to them, and replace one of the same id', () => {
    const before = loadParts();
    own(
      'switches:\n  - { id: rocker-12-a, title: rocker of 12 A, carryA: 12, inductiveA: 6 }\n  - { id: switch-16-a, title: our toggle, carryA: 15 }\n',
    );
    const { switches, fuses } = loadParts();
    expect(fuses).toEqual(before.fuses);
    expect(switches).toHaveLength(before.switches.length + 1);
    expect(switches.find(({ id }) => id === 'rocker-12-a')).toMatchObject({ inductiveA: 6 });
    expect(switches.find(({ id }) => id === 'switch-16-a')).toMatchObject({
      title: 'our toggle',
      carryA: 15,
    });
  });

  it('come from several files, one more of which may be named', () => {
    own('fuses:\n  - { id: fuse-12-5-a, title: fuse of 12.5 A, ratedA: 12.5 }\n');
    own('connectors:\n  - { id: plug, title: our plug, carryA: 12 }\n', 'plugs');
    const also = join(folder, 'more.yaml');
    writeFileSync(
      also,
      'id: other\ntitle: More\nkind: parts\nconnectors:\n  - { id: plug, title: our new plug, carryA: 14 }\n',
    );
    expect(loadParts().connectors.find(({ id }) => id === 'plug')?.title).toBe('our plug');
    const { connectors, fuses } = loadParts({ also });
    expect(connectors.filter(({ id }) => id === 'plug').map(({ title }) => title)).toEqual(['our new plug']);
    expect(fuses.some(({ ratedA }) => ratedA === 12.5)).toBe(true);
  });

  it.each([
    [
      'a number beyond its range',
      'switches:\n  - { id: s, title: S, carryA: 16000 }\n',
      /own\.yaml:5: switches\[0\]\.carryA: 16000 A is too large; .*0\.01 to 1000 A/,
    ],
    [
      'a number with its unit',
      'fuses:\n  - { id: f, title: F, ratedA: 15 A }\n',
      /own\.yaml:5: fuses\[0\]\.ratedA: '15 A' is not a number; write 15/,
    ],
    [
      'a misspelt key',
      'switches:\n  - { id: s, title: S, carryA: 16, indutiveA: 3 }\n',
      /own\.yaml:5: switches\[0\]\.indutiveA: unknown key; did you mean inductiveA\?/,
    ],
    [
      'a list that is not known',
      'switchs:\n  - { id: s, title: S, carryA: 16 }\n',
      /own\.yaml:4: switchs: unknown key; did you mean switches\?/,
    ],
    [
      'a size told twice',
      'wires:\n  - { id: w, title: W, areaMm2: 2, awg: 14 }\n',
      /own\.yaml:5: wires\[0\]: give the size once/,
    ],
    [
      'a milliohm taken for an ohm',
      'wires:\n  - { id: w, title: W, areaMm2: 2, resistanceOhmPerM: 9.42 }\n',
      /own\.yaml:5: wires\[0\]\.resistanceOhmPerM: 9\.42 Ohm\/m is too large/,
    ],
    [
      'an id that stands twice',
      'switches:\n  - { id: s, title: S, carryA: 16 }\nfuses:\n  - { id: s, title: F, ratedA: 5 }\n',
      /own\.yaml:7: fuses\[0\]\.id: 's' stands twice in this file; give each part its own id/,
    ],
    [
      'contacts exchanged',
      'relays:\n  - { id: r, title: R, makeA: 20, breakA: 30 }\n',
      /own\.yaml:5: relays\[0\]\.breakA: 87a bears 30 A and 87 only 20 A; write 20 or less/,
    ],
    [
      'a motor broken more easily than a resistance',
      'switches:\n  - { id: s, title: S, carryA: 10, inductiveA: 12 }\n',
      /own\.yaml:5: switches\[0\]\.inductiveA: breaks 12 A of a motor and only 10 A/,
    ],
    [
      'nothing in it',
      '',
      /own\.yaml: lists no part; add a list of switches, relays, fuses, wires or connectors/,
    ],
  ])('with %s are refused in one line', (_, lists, said) => {
    const path = own(lists);
    expect(fault(() => loadParts())).toMatch(said);
    expect(fault(() => checkFile(path))).toMatch(said);
    expect(fault(() => loadParts())).not.toContain('\n');
  });

  it('are refused where two files of the folder say different things of one id, or of another sort', () => {
    own('connectors:\n  - { id: plug, title: our plug, carryA: 12 }\n', 'a');
    own('connectors:\n  - { id: plug, title: other plug, carryA: 14 }\n', 'b');
    expect(fault(() => loadParts())).toMatch(
      /b\.yaml:5: connectors\[0\]\.id: 'plug' stands already in .*a\.yaml; keep one of the two/,
    );
    rmSync(join(folder, 'parts', 'b.yaml'));
    own('connectors:\n  - { id: fuse-15-a, title: holder, carryA: 12 }\n', 'c');
    expect(fault(() => loadParts())).toMatch(
      /c\.yaml:5: connectors\[0\]\.id: 'fuse-15-a' is among the fuses in .*generic\.yaml; give this part an id/,
    );
  });

  it('are no motor, and a motor is no list of parts', () => {
    const path = own('connectors:\n  - { id: plug, title: our plug, carryA: 12 }\n');
    expect(fault(() => loadMotor(path))).toMatch(/this is a parts file where a motor is wanted/);
    expect(fault(() => loadParts({ also: 'profiles/motors/window-lift.yaml' }))).toMatch(
      /this is a motor where a parts file is wanted; name a parts file/,
    );
  });
});
