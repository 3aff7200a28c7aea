// Frames as text. The stored frames are renewed with `vitest run tests/screens -u` and read in the diff.

import { describe, expect, it } from 'vitest';
import type { Ended } from '../../host/bench/index.js';
import { bigWord } from '../../host/screens/big-words.js';
import { BenchController, type Theme } from '../../host/screens/index.js';
import { VERDICT_WORDS } from '../../host/tell/index.js';
import { ASCII, frameOf, UNICODE } from './fake-terminal.js';
import { scriptedTray, TRAY } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

const SIZES = [
  { columns: 80, rows: 24 },
  { columns: 120, rows: 36 },
  { columns: 200, rows: 60 },
];
const BRAILLE: Theme = { ...UNICODE, dots: 'braille' };

/** A controller fed with the script's first events, up to the one that `until` picks. */
async function fed(until: (kind: string, count: number) => boolean, units = TRAY): Promise<BenchController> {
  const controller = new BenchController({
    stop: () => undefined,
    clock: new StepClock(),
    startsByItself: true,
  });
  const seen: Record<string, number> = {};
  for await (const event of scriptedTray({ units })) {
    controller.take(event);
    seen[event.kind] = (seen[event.kind] ?? 0) + 1;
    if (until(event.kind, seen[event.kind]!)) break;
  }
  return controller;
}

const endedOf = (index: number, tag: string, verdict: Ended['verdict']): Ended => ({
  ...{ index, tag, verdict, attempt: 1, isJudged: true, isStopped: false },
});

const frame = (
  controller: BenchController,
  size: { columns: number; rows: number },
  theme: Theme = UNICODE,
) =>
  frameOf({
    ...{ state: controller.state, traces: controller.traces, past: controller.pastRuns, theme },
    ...size,
  });

/** 52 slices into the first unit: in the middle of the reverse throw. */
const inReverse = (kind: string, count: number): boolean => kind === 'samples' && count === 46;

const MOMENTS: [string, () => Promise<BenchController>][] = [
  [
    'cautions',
    async () => {
      const controller = await fed((kind) => kind === 'tray-started');
      void controller.beforeUnit({ index: 0, tag: 'V-0101', attempt: 1, holdsRotor: false });
      return controller;
    },
  ],
  [
    'held-rotor',
    async () => {
      const controller = await fed((kind) => kind === 'judged');
      void controller.beforeUnit({ index: 1, tag: 'V-0102', attempt: 1, holdsRotor: true });
      controller.press('go-on');
      for (let turn = 0; turn < 8; turn++) await Promise.resolve();
      return controller;
    },
  ],
  [
    'clip-on',
    async () => {
      const controller = await fed((kind) => kind === 'judged');
      controller.take({ kind: 'disposed', index: 0, tag: 'V-0101', runId: 'run-1', disposition: 'accept' });
      const lines = ["Feed wire of the relays (both 87) to the rig's feed.", 'Lead A from 30 of K1.'];
      controller.take({ kind: 'hook-up', tag: 'V-0102', lines });
      void controller.beforeUnit({ index: 1, tag: 'V-0102', attempt: 2, holdsRotor: false });
      controller.press('go-on');
      for (let turn = 0; turn < 8; turn++) await Promise.resolve();
      return controller;
    },
  ],
  [
    'after',
    async () => {
      const controller = await fed((kind, count) => kind === 'judged' && count === 2);
      void controller.afterUnit({ ...endedOf(1, 'V-0102', 'fail'), isStopped: true });
      return controller;
    },
  ],
  [
    'tag',
    async () => {
      const controller = await fed((kind) => kind === 'judged');
      controller.take({ kind: 'disposed', index: 0, tag: 'V-0101', runId: 'run-1', disposition: 'accept' });
      const lines = ['Type or scan its tag. Nothing is thrown by this Enter.'];
      const asked = { title: 'Which unit is next?', lines, label: 'Tag', longest: 24, proposal: 'V-0102' };
      void controller.askText(asked);
      return controller;
    },
  ],
  [
    'which-rig',
    async () => {
      const controller = await fed((kind) => kind === 'caution');
      controller.isAt('no rig opened yet');
      void controller.askChoice({
        title: 'Which rig?',
        lines: ['Opening a port restarts its board: outputs go off.'],
        options: ['/dev/ttyUSB0, rig bench-1', 'The virtual bench: no rig, nothing is energised'],
        chosen: 0,
        trouble: 'Port /dev/ttyUSB0 opened, but nothing answered within 4.1 s.',
      });
      return controller;
    },
  ],
  ['reverse', () => fed(inReverse)],
  [
    'fail',
    async () => {
      const controller = await fed((kind, count) => kind === 'judged' && count === 2);
      void controller.afterUnit(endedOf(1, 'V-0102', 'fail'));
      return controller;
    },
  ],
  [
    'traces',
    async () => {
      const controller = await fed((kind, count) => kind === 'judged' && count === 2);
      void controller.afterUnit(endedOf(1, 'V-0102', 'fail'));
      for (const action of ['traces', 'page-down', 'right', 'overlay'] as const) controller.press(action);
      return controller;
    },
  ],
  ['cannot-tell', () => fed((kind, count) => kind === 'judged' && count === 3)],
  ['table', () => finished(() => undefined)],
  [
    'unit',
    () =>
      finished((controller) => {
        controller.press('up');
        controller.press('up');
        controller.press('go-on');
      }),
  ],
];

async function finished(then: (controller: BenchController) => void): Promise<BenchController> {
  const controller = new BenchController({
    stop: () => undefined,
    clock: new StepClock(),
    startsByItself: true,
  });
  await controller.consume(scriptedTray());
  then(controller);
  return controller;
}

describe.each(SIZES)('bench screen at $columns x $rows', (size) => {
  it.each(MOMENTS)('draws the moment "%s" as stored', async (name, moment) => {
    const text = frame(await moment(), size, BRAILLE);
    await expect(`${text}\n`).toMatchFileSnapshot(`frames/${name}-${size.columns}x${size.rows}.txt`);
  });

  it.each(MOMENTS)(
    'leaves last row and last column empty at "%s", with and without Unicode',
    async (_name, moment) => {
      for (const theme of [UNICODE, ASCII]) {
        const lines = frame(await moment(), size, theme).split('\n');
        expect(lines.length).toBeLessThan(size.rows);
        expect(Math.max(...lines.map((line) => line.length))).toBeLessThan(size.columns);
      }
    },
  );

  it.each(MOMENTS)(
    'holds nothing but ASCII at "%s" where the terminal has no more',
    async (_name, moment) => {
      const text = frame(await moment(), size, ASCII);
      expect(text.replace(/[\x20-\x7e\n]/g, '')).toBe('');
    },
  );

  it('tells the trip whole, where a sign is several on a plain terminal', async () => {
    const controller = new BenchController({
      stop: () => undefined,
      clock: new StepClock(),
      startsByItself: true,
    });
    for await (const event of scriptedTray({ units: TRAY })) {
      controller.take(event.kind === 'unit-started' ? { ...event, tripA: 30 } : event);
      if (event.kind === 'samples') break;
    }
    expect(frame(controller, size, ASCII)).toMatch(/^trip +\+\/-30 A /m);
  });

  it('names rig, firmware, port, unit, circuit and the position thrown', async () => {
    const text = frame(await fed(inReverse), size);
    for (const words of [
      'RB-01',
      '1.0.0',
      'virtual',
      'V-0101',
      'Roof vent',
      'REVERSE, FULL FEED',
      'Step 4 of 5',
    ]) {
      expect(text).toContain(words);
    }
    for (const row of bigWord('REVERSE', true)) expect(text).toContain(row.trimEnd());
  });

  it('says how to put outputs off in every moment before the end', async () => {
    for (const [, moment] of MOMENTS.filter(([name]) =>
      ['cautions', 'held-rotor', 'clip-on', 'reverse'].includes(name),
    )) {
      expect(frame(await moment(), size)).toContain('Space or Esc: outputs off');
    }
  });

  it('tells a failed unit by large word, sentence, cause, next probe and the check that failed', async () => {
    const text = frame(await fed((kind, count) => kind === 'judged' && count === 2), size);
    for (const row of bigWord('FAIL', true)) expect(text).toContain(row.trimEnd());
    expect(text).toContain('Forward inrush is 8.7 A where at least 17 A is expected.');
    expect(text).toContain('Worn brushes');
    expect(text).toMatch(/Next probe: +Measure lead to lead/);
    expect(text).toMatch(/✗ fail +Forward inrush is 8\.7 A/);
    expect(text).toContain('OUTPUTS OFF');
  });

  it('shows the next probe whole beside a cause of many words', async () => {
    const controller = await fed((kind) => kind === 'unit-started');
    const nextProbe = 'Pull the plug of the switch and measure c1 to b1 with the switch held forward.';
    const judgement = {
      verdict: 'fail' as const,
      sentence: 'Nothing feeds this throw.',
      checks: [],
      findings: [
        {
          id: 'contact-open',
          likelihood: 0.7,
          sentence: 'The contact does not close. '.repeat(400),
          nextProbe,
        },
      ],
      measured: {},
    };
    controller.take({ kind: 'judged', index: 0, tag: 'V-0101', judgement, runId: 'run-1', durationS: 4 });
    const text = frame(controller, size).replace(/\s+/g, ' ');
    expect(text).toContain('Likely, 70 %: The contact does not close.');
    expect(text).toContain('…');
    const words = nextProbe.split(' ').slice(0, 12).join(' ');
    expect(text).toContain(`Next probe: ${words}`);
  });

  it('shows how the next unit is hooked up while a person puts it on', async () => {
    const controller = new BenchController({
      stop: () => undefined,
      clock: new StepClock(),
      startsByItself: false,
    });
    const lines = ["Feed wire of the relays (both 87) to the rig's feed.", 'Lead A from 30 of K1.'];
    controller.take({ kind: 'hook-up', tag: 'V-0103', lines });
    void controller.beforeUnit({ index: 1, tag: 'V-0103', attempt: 2, holdsRotor: false });
    controller.press('go-on');
    await Promise.resolve();
    for (let turn = 0; turn < 8; turn++) await Promise.resolve();
    const text = frame(controller, size);
    expect(text).toContain('Hook up V-0103, supply off');
    expect(text).toContain("1  Feed wire of the relays (both 87) to the rig's feed.");
    expect(text).toContain('2  Lead A from 30 of K1.');
    expect(text).toContain('V-0103 clipped on and hands clear? Enter: throw, attempt 2');
  });

  it('lays no line over another on the page of a unit with more checks than rows', async () => {
    const controller = await finished(() => undefined);
    const checks = Array.from({ length: 60 }, (_, i) => ({
      ...controller.state.bench.units[0]!.checks[0]!,
      id: `check-${i}`,
      sentence: `Check number ${i} of many.`,
    }));
    const findings = [
      {
        id: 'a',
        likelihood: 0.9,
        sentence: 'One cause of many words. '.repeat(8).trim(),
        nextProbe: 'Probe.',
      },
    ];
    controller.state.bench = {
      ...controller.state.bench,
      units: controller.state.bench.units.map((unit, i) => (i === 3 ? { ...unit, checks, findings } : unit)),
    };
    controller.press('go-on');
    // The sentence and its one cause are read first.
    for (let i = 0; i < 9; i++) controller.press('down');
    const lines = frame(controller, size).split('\n');
    expect(lines[1]).toBe('V-0104  Roof vent, relay pair');
    expect(lines).toContain('60 checks, from 8');
    expect(lines.some((line) => line.endsWith('Check number 7 of many.'))).toBe(true);
    expect(lines.length).toBeLessThan(size.rows);
  });

  it('calls a single unit no tray', async () => {
    const text = frame(await fed((kind) => kind === 'judged', [TRAY[0]!]), size);
    expect(text).not.toMatch(/tray|1 of 1/i);
  });

  it('says STOPPED once outputs off was asked for', async () => {
    const controller = await fed(inReverse);
    controller.press('outputs-off');
    const text = frame(controller, size);
    for (const row of bigWord('STOPPED', true)) expect(text).toContain(row.trimEnd());
  });

  it('scrolls a tray longer than the window and keeps the chosen unit in sight', async () => {
    const units = Array.from({ length: 60 }, (_, i) => ({ tag: `V-${1000 + i}`, outcome: 'pass' as const }));
    const controller = new BenchController({
      stop: () => undefined,
      clock: new StepClock(),
      startsByItself: true,
    });
    await controller.consume(scriptedTray({ units }));
    expect(frame(controller, size).split('\n').length).toBeLessThan(size.rows);
    expect(frame(controller, size)).toMatch(/> V-1059/);
    for (let i = 0; i < 6; i++) controller.press('page-up');
    const text = frame(controller, size);
    expect(text).toMatch(/> V-1000/);
    expect(text).not.toContain('V-1059');
  });
});

describe('bench screen in other windows', () => {
  it.each([
    { columns: 79, rows: 24 },
    { columns: 80, rows: 23 },
    { columns: 30, rows: 8 },
  ])('still tells at $columns x $rows what is thrown and how to stop', async (size) => {
    const text = frame(await fed(inReverse), size).replace(/\s+/g, ' ');
    expect(text).toContain('REVERSE, FULL FEED');
    expect(text).toContain('V-0101');
    expect(text).toContain('Space or Esc: outputs off');
    expect(frame(await fed(inReverse), size).split('\n').length).toBeLessThan(size.rows);
  });

  it('shows what Enter would take of a question in a window of 40 x 12', async () => {
    const controller = new BenchController({
      stop: () => undefined,
      clock: new StepClock(),
      startsByItself: false,
    });
    const small = (): string => frame(controller, { columns: 40, rows: 12 });
    void controller.askText({
      title: 'Which unit?',
      lines: [],
      label: 'Tag',
      longest: 9,
      proposal: 'V-0102',
    });
    expect(small()).toContain('Tag: _ (Enter takes V-0102)');
    controller.type('7');
    expect(small()).toContain('Tag: 7_');
    void controller.askChoice({ title: 'What is it?', lines: [], options: ['A step', 'A vent'], chosen: 0 });
    controller.press('down');
    expect(small()).toContain('> A vent (2 of 2)');
  });

  it('tells the verdict, its reason and what Enter does in a window of 30 x 12', async () => {
    const controller = await fed((kind, count) => kind === 'judged' && count === 2);
    void controller.afterUnit({ ...endedOf(1, 'V-0102', 'fail'), isStopped: true });
    const text = frame(controller, { columns: 30, rows: 12 }).replace(/\s+/g, ' ');
    expect(text).toContain('OUTPUTS OFF FAIL');
    expect(text).toContain('V-0102 Forward inrush is 8.7 A where at least 17 A is expected.');
    expect(text).toContain('Enter: V-0102 to be reworked');
    expect(text).toContain('Space or Esc: outputs off');
  });

  it.each([
    [80, 25],
    [93, 31],
    [109, 24],
    [110, 24],
    [200, 60],
    [250, 24],
  ])('keeps inside %i x %i', async (columns, rows) => {
    for (const [, moment] of MOMENTS) {
      const lines = frame(await moment(), { columns, rows }).split('\n');
      expect(lines.length).toBeLessThan(rows);
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThan(columns);
      expect(lines.at(-1)).not.toBe('');
    }
  });
});

describe('what must not tear the screen', () => {
  it('lets no escape code of a tag or a sentence through', async () => {
    const controller = await fed(
      (kind) => kind === 'rig-ready',
      [{ tag: 'V\u001b[2J\u0007-1\n', outcome: 'pass' }],
    );
    const text = frame(controller, SIZES[0]!);
    expect(text).toContain('V[2J-1');
    expect(text).not.toContain('\u0007');
  });

  it('draws every large word it may need', () => {
    const words = [
      ...Object.values(VERDICT_WORDS),
      'FORWARD',
      'REVERSE',
      'REST',
      'OFF',
      'READY',
      'CONNECTING',
      'STOPPED',
      'JUDGING',
    ];
    for (const word of words) {
      for (const unicode of [true, false]) {
        const rows = bigWord(word, unicode);
        expect(rows).toHaveLength(unicode ? 3 : 5);
        expect(new Set(rows.map((row) => row.length)).size, word).toBe(1);
        expect(rows[0]!.length).toBeLessThan(80);
      }
    }
  });
});
