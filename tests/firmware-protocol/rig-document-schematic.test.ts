// The schematic of the reference rig: pictures fresh, nothing a reader could mistake, and the safety that RIG.md promises
// held by the drawn circuit itself.

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { drawFolder, drawSchematic } from '../../firmware-protocol/schematic/draw.js';
import { confusions } from '../../firmware-protocol/schematic/layout.js';
import { type Part, parseSheet } from '../../firmware-protocol/schematic/parse.js';

const drawings = drawFolder();
const sheets = drawings.map(({ name, text }) => ({ name, sheet: parseSheet(text) }));
const parts = new Map<string, Part>(sheets.flatMap(({ sheet }) => [...sheet.parts]));
/** Net of every pin, `KS.a` to `STOP_OK`; the same name in two sheets is the same net. */
const netOf = new Map<string, string>();
for (const { sheet } of sheets)
  for (const net of sheet.nets.values())
    for (const { ref, pin } of net.pins) netOf.set(`${ref}.${pin}`, net.name);
const pinsOn = (net: string): string[] => [...netOf].filter(([, name]) => name === net).map(([pin]) => pin);

/** Pins between which a part can carry current when it is on. */
const PATHS: Record<string, readonly (readonly [string, string])[]> = {
  nmos: [['d', 's']],
  pmos: [['d', 's']],
  diode: [['a', 'k']],
  zener: [['a', 'k']],
  led: [['a', 'k']],
  battery: [],
  opamp: [],
  senseamp: [['p', 'n']],
  terminal: [],
  block: [],
};

function pathsOf(ref: string, part: Part, thrown: readonly string[]): readonly (readonly [string, string])[] {
  if (part.kind === 'changeover') return [['c', thrown.includes(ref.split(':')[0]!) ? 'o' : 'r']];
  return PATHS[part.kind] ?? [['a', 'b']];
}

/** Nets that can be reached from `start` by any conducting part that is not open, without passing ground or 5V0. */
function reach(start: string, isOpen: (ref: string) => boolean, thrown: readonly string[] = []): Set<string> {
  const seen = new Set([start]);
  const queue = [start];
  for (let net = queue.shift(); net !== undefined; net = queue.shift()) {
    for (const [ref, part] of parts) {
      if (isOpen(ref)) continue;
      for (const [from, to] of pathsOf(ref, part, thrown)) {
        const ends = [netOf.get(`${ref}.${from}`)!, netOf.get(`${ref}.${to}`)!];
        if (!ends.includes(net)) continue;
        const other = ends[0] === net ? ends[1]! : ends[0]!;
        if (other === 'GND' || other === '5V0' || seen.has(other)) continue;
        seen.add(other);
        queue.push(other);
      }
    }
  }
  return seen;
}

const isContact = (ref: string): boolean => parts.get(ref)?.kind === 'contact';
/** Every transistor shorted and every contact welded but those in `open`: the worst case. */
const worst =
  (...open: string[]): ((ref: string) => boolean) =>
  (ref) =>
    open.includes(ref);

describe('pictures', () => {
  it.each(drawings)('$name is drawn as its text says', ({ svgPath, svg }) => {
    expect(readFileSync(svgPath, 'utf8')).toBe(svg);
  });

  it.each(sheets)('$name holds nothing that a reader could mistake', ({ sheet }) => {
    expect(sheet.parts.size).toBeGreaterThan(10);
    expect(confusions(sheet)).toEqual([]);
  });

  it('are faulted when labels touch, a wire crosses a label, or two nets seem joined', () => {
    const bad = parseSheet(
      [
        'sheet "bad" 40,30',
        'part R1 resistor 5,10 "1 kΩ"',
        'part R2 resistor 6,10 "2 kΩ"',
        'net X R1.a 5,20 20,20',
        'net Y R1.b | 10,20 10,25',
        'net Z 8,9 8,5',
      ].join('\n'),
    );
    const found = confusions(bad).join('\n');
    expect(found).toMatch(/"R1" touches "R2"/);
    expect(found).toMatch(/R1 touches R2/);
    expect(found).toMatch(/net Y seems joined to X at 10,20/);
    expect(found).toMatch(/is crossed by net Z/);
  });

  it('say line and mend when the text is wrong', () => {
    expect(() => drawSchematic('sheet "x" 9,9\npart R1 resistr 1,1')).toThrow(
      /line 2: no symbol resistr; there are resistor/,
    );
    expect(() => drawSchematic('sheet "x" 9,9\nnet N R9.a')).toThrow(/line 2: no part R9/);
    expect(() => drawSchematic('sheet "x" 9,9\npart R1 resistor 1,1\nnet N R1.c')).toThrow(
      /R1 has no pin c; it has a, b/,
    );
    expect(() => drawSchematic('part R1 resistor 1,1')).toThrow(/no sheet line/);
  });

  it('turn and mirror symbols so that pins land where the text joins them', () => {
    const sheet = parseSheet(
      'sheet "x" 60,60\npart D1 diode 10,10 r90\npart D2 diode 20,20 flip\npart D3 diode 30,30 flip r90\nnet A D1.k D2.k D3.k',
    );
    const ends = sheet.nets.get('A')!.segments;
    expect(ends[0]![0]).toEqual([10, 14]);
    expect(ends[1]![1]).toEqual([16, 20]);
    expect(ends.at(-1)![1]).toEqual([30, 26]);
  });
});

describe('marks', () => {
  it('of the rig’s relays are on no unit: a fault sentence can only mean one of them', () => {
    const ofUnits = readdirSync('profiles/circuits').flatMap((file) => {
      const text = readFileSync(`profiles/circuits/${file}`, 'utf8');
      return [...text.matchAll(/^ {2}- \{? ?id: ([a-z0-9-]+)/gm)].map(([, id]) => id!.toUpperCase());
    });
    expect(ofUnits).toContain('K1');
    const ofRig = [...parts].filter(([, { kind }]) => kind === 'coil').map(([ref]) => ref);
    expect(ofRig.sort()).toEqual(['KB', 'KF', 'KL', 'KR', 'KS']);
    expect(ofRig.filter((ref) => ofUnits.includes(ref))).toEqual([]);
  });
});

describe('nets', () => {
  it('take every pin of every part, once', () => {
    const pins = [...parts].flatMap(([ref, part]) =>
      Object.keys(part.shape.pins).map((pin) => `${ref}.${pin}`),
    );
    expect(pins.filter((pin) => !netOf.has(pin))).toEqual([]);
    const taken = sheets.flatMap(({ sheet }) =>
      [...sheet.nets.values()].flatMap((net) => net.pins.map(({ ref, pin }) => `${ref}.${pin}`)),
    );
    expect(taken.filter((pin, i) => taken.indexOf(pin) !== i)).toEqual([]);
    expect(taken.length).toBeGreaterThan(200);
  });

  it('lead somewhere: at least two pins on each', () => {
    const lonely = [...new Set(netOf.values())].filter((net) => pinsOn(net).length < 2);
    // The bare measuring side of a stand-in or trigger is a screw terminal, which counts as a pin.
    expect(lonely).toEqual([]);
  });

  it('that a flag names go on in another sheet or at another flag', () => {
    const flags = sheets.flatMap(({ sheet }) =>
      [...sheet.nets.values()].flatMap((net) =>
        net.marks.filter((mark) => mark.kind.startsWith('flag') || mark.kind === 'rail').map(() => net.name),
      ),
    );
    expect([...new Set(flags)].filter((name) => flags.filter((flag) => flag === name).length < 2)).toEqual(
      [],
    );
  });
});

describe('stop loop', () => {
  const coils = ['KS', 'KL', 'KB', 'KF', 'KR'];

  it('feeds the coil of every relay of the rig from behind both buttons', () => {
    for (const coil of coils) expect(netOf.get(`${coil}.a`), coil).toBe('STOP_OK');
    expect(reach('POST', worst())).toContain('STOP_OK');
    for (const button of ['S1', 'S2']) {
      const others = (ref: string): boolean => ref === button || isContact(ref);
      expect(reach('POST', others), button).not.toContain('STOP_OK');
    }
  });

  it('holds KS by itself: no transistor stands in its coil', () => {
    expect(netOf.get('KS.b')).toBe('GND');
  });

  it('breaks feed and coil feed with every transistor shorted and every other contact welded', () => {
    expect([...reach('POST', worst())]).toEqual(expect.arrayContaining(['FEED', 'COIL_SUPPLY']));
    for (const button of ['S1', 'S2']) {
      const live = reach('POST', worst(button, 'KS:1'));
      expect(live, button).not.toContain('FEED');
      expect(live, button).not.toContain('COIL_SUPPLY');
      expect(live, button).not.toContain('TRIGGER-FORWARD-HIGH');
    }
  });

  it('is reported to PD2 by a transistor that pulls low while the loop is whole', () => {
    expect(netOf.get('U6.PD2')).toBe('PD2');
    expect([netOf.get('R44.a'), netOf.get('Q3.s')]).toEqual(['STOP_OK', 'GND']);
    expect(netOf.get('R44.b')).toBe(netOf.get('Q3.g'));
    expect([netOf.get('R46.a'), netOf.get('R46.b')]).toEqual([netOf.get('Q3.d'), '5V0']);
    expect(netOf.get('R47.b')).toBe('PD2');
  });
});

describe('feed', () => {
  it('reaches the unit only through KL with the resistor, or through KB, and only behind KS', () => {
    expect(reach('POST', worst('KS:1', 'S1'))).not.toContain('FEED');
    expect(reach('POST', worst('KL:1', 'KB:1'))).not.toContain('FEED');
    expect(reach('POST', worst('KB:1', 'R1'))).not.toContain('FEED');
    expect(reach('POST', worst('KB:1'))).toContain('FEED');
    expect(reach('POST', worst('KL:1'))).toContain('FEED');
  });

  it('passes the feed shunt whatever relay it takes, and the fuse at the post', () => {
    expect(reach('POST', worst('RS1', 'U2'))).not.toContain('FEED');
    expect(reach('POST', worst('F1'))).toEqual(new Set(['POST']));
  });
});

describe('coil feed', () => {
  it('reaches coils through R70, past which only Q5 leads, and through the fuse and the shunt either way', () => {
    expect(reach('POST', worst('R70', 'Q5'))).not.toContain('COIL_SUPPLY');
    expect(reach('POST', worst('Q5'))).toContain('COIL_SUPPLY');
    for (const part of ['F3', 'RS3']) expect(reach('POST', worst(part)), part).not.toContain('COIL_SUPPLY');
    expect([netOf.get('Q5.s'), netOf.get('Q5.d')]).toEqual([netOf.get('R70.a'), netOf.get('R70.b')]);
  });

  it('is sensed for the motor behind F4, where a blown fuse and a stuck contact both show', () => {
    expect(netOf.get('R49.a')).toBe('FEED');
    expect(netOf.get('FEED.t')).toBe('FEED');
  });
});

describe('outputs in reset', () => {
  const drivers = ['Q1', 'Q2', 'Q6', 'Q11', 'Q12', 'Q13', 'Q21', 'Q22', 'Q23'];

  it('are held off: a resistor from each driver’s gate straight to ground', () => {
    for (const driver of drivers) {
      const gate = netOf.get(`${driver}.g`)!;
      const pulls = [...parts].filter(
        ([ref, part]) =>
          part.kind === 'resistor' &&
          [netOf.get(`${ref}.a`), netOf.get(`${ref}.b`)].sort().join() === [gate, 'GND'].sort().join(),
      );
      expect(pulls, driver).toHaveLength(1);
      expect(pulls[0]![1].values, driver).toEqual(['10 kΩ']);
    }
  });

  it('of the high triggers are held off by a resistor from gate to source', () => {
    for (const [driver, pull] of [
      ['Q14', 'R54'],
      ['Q24', 'R64'],
      ['Q5', 'R74'],
    ] as const) {
      expect(netOf.get(`${pull}.a`)).toBe(netOf.get(`${driver}.s`));
      expect(netOf.get(`${pull}.b`)).toBe(netOf.get(`${driver}.g`));
    }
  });

  it('come from the pins of the pin map', () => {
    for (const [resistor, pin, driver] of [
      ['R40', 'PD4', 'Q1'],
      ['R42', 'PD5', 'Q2'],
      ['R50', 'PD6', 'Q11'],
      ['R60', 'PD7', 'Q21'],
      ['R71', 'PB0', 'Q6'],
    ] as const) {
      expect(netOf.get(`U6.${pin}`)).toBe(netOf.get(`${resistor}.a`));
      expect(netOf.get(`${resistor}.b`)).toBe(netOf.get(`${driver}.g`));
    }
    expect(netOf.get('Q1.d')).toBe(netOf.get('KL.b'));
    expect(netOf.get('Q2.d')).toBe(netOf.get('KB.b'));
    expect(netOf.get('Q11.d')).toBe(netOf.get('KF.b'));
    expect(netOf.get('Q21.d')).toBe(netOf.get('KR.b'));
  });
});

describe('throws', () => {
  it('lock each other out: each pin shorts the other’s gate to ground', () => {
    for (const [lock, series, pin, gate] of [
      ['Q10', 'R52', 'PD7', 'Q11'],
      ['Q20', 'R62', 'PD6', 'Q21'],
    ] as const) {
      expect(netOf.get(`${series}.a`)).toBe(pin);
      expect(netOf.get(`${series}.b`)).toBe(netOf.get(`${lock}.g`));
      expect(netOf.get(`${lock}.d`)).toBe(netOf.get(`${gate}.g`));
      expect(netOf.get(`${lock}.s`)).toBe('GND');
    }
  });

  it('put each centre of the stand-in on r at rest, on a forward, on b in reverse, and never join a to b', () => {
    for (const pole of [1, 2]) {
      const ends = (...thrown: string[]): string[] =>
        [...reach(`c${pole}`, worst(), thrown)].filter((net) => /^[abr]\d$/.test(net));
      expect(ends()).toEqual([`r${pole}`]);
      expect(ends('KF')).toEqual([`a${pole}`]);
      expect(ends('KR')).toEqual([`b${pole}`]);
      expect(ends('KF', 'KR')).toEqual([`a${pole}`]);
    }
  });

  it('leave a kick its way: zener and diode against each other on every coil of the rig, no plain diode on a trigger', () => {
    for (const [coil, mark] of [
      ['KS', '0'],
      ['KL', '1'],
      ['KB', '2'],
      ['KF', 'KF'],
      ['KR', 'KR'],
    ] as const) {
      const [zener, diode] = [`Z${mark}`, `D${mark}`];
      expect(netOf.get(`${zener}.a`), coil).toBe(netOf.get(`${coil}.a`));
      expect(netOf.get(`${diode}.a`), coil).toBe(netOf.get(`${coil}.b`));
      expect(netOf.get(`${zener}.k`), coil).toBe(netOf.get(`${diode}.k`));
    }
    for (const trigger of [...parts.keys()].filter((ref) => ref.startsWith('TRIGGER'))) {
      const kinds = pinsOn(netOf.get(`${trigger}.t`)!).map((pin) => parts.get(pin.split('.')[0]!)!.kind);
      expect(kinds).toContain('tvs');
      expect(kinds).not.toContain('diode');
    }
  });
});
