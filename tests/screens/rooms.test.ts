// Rooms beside the bench: found, opened, read, left; and out of reach while anything may be energised.

import { describe, expect, it } from 'vitest';
import { BenchController, type RoomContent } from '../../host/screens/index.js';
import { pageLines } from '../../host/screens/room.js';
import { frameOf, UNICODE } from './fake-terminal.js';
import { scriptedTray } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

const settled = async (): Promise<void> => {
  for (let turn = 0; turn < 8; turn++) await Promise.resolve();
};

const PAGE: RoomContent = {
  title: 'V-0104',
  lines: Array.from({ length: 40 }, (_, i) => `Line ${i}`),
  more: { text: 'compare with V-0101', open: () => ({ title: 'Compared', lines: ['Alike.'] }) },
};
const RECORDS: RoomContent = {
  title: 'Records',
  rows: [
    { text: 'V-0104 FAIL coil of K2', open: () => PAGE },
    { text: 'V-0103 PASS', open: () => Promise.reject(new Error('The store is locked.')) },
  ],
};

function atGate() {
  const stops: string[] = [];
  const controller = new BenchController({
    stop: () => stops.push('off'),
    clock: new StepClock(),
    startsByItself: false,
    cautionsDue: false,
    rooms: async () => ({ title: 'Rooms', rows: [{ text: 'Records', open: () => RECORDS }] }),
  });
  controller.take({ kind: 'tray-started', units: [{ tag: 'V-0105', profileTitle: 'Vent' }] });
  const gate = controller.beforeUnit({ index: 0, tag: 'V-0105', attempt: 1, holdsRotor: false });
  return { controller, gate, stops };
}

const frame = (controller: BenchController): string =>
  frameOf({ state: controller.state, traces: controller.traces, theme: UNICODE, columns: 80, rows: 24 });

async function inRecords() {
  const bench = atGate();
  await settled();
  bench.controller.press('rooms');
  await settled();
  bench.controller.press('go-on');
  await settled();
  return bench;
}

describe('rooms beside the bench', () => {
  it('are entered from the gate, searched by what is typed or scanned, and left again', async () => {
    const { controller } = await inRecords();
    expect(frame(controller)).toContain('Rooms › Records');
    expect(frame(controller)).toMatch(/> V-0104 FAIL coil of K2/);
    for (const sign of 'k2 fail') controller.type(sign);
    expect(frame(controller)).toContain('Search: k2 fail_  1 of 1');
    controller.type('x');
    expect(frame(controller)).toContain('nothing has all these words');
    controller.erase();
    controller.press('go-on');
    await settled();
    expect(frame(controller)).toContain('Line 0');
    controller.press('page-down');
    expect(frame(controller)).not.toMatch(/Line 9\b/);
    expect(frame(controller)).toContain('Enter: compare with V-0101');
    controller.press('go-on');
    await settled();
    expect(frame(controller)).toContain('Alike.');
    for (let i = 0; i < 4; i++) controller.press('rooms');
    expect(controller.state.rooms).toBeUndefined();
    expect(frame(controller)).toContain('V-0105 clipped on and hands clear?');
  });

  it('throw nothing by an Enter, and say what could not be had', async () => {
    const { controller } = await inRecords();
    controller.press('down');
    controller.press('go-on');
    await settled();
    expect(frame(controller)).toContain('The store is locked.');
    expect(controller.isRunning).toBe(false);
  });

  it('still put outputs off', async () => {
    const { controller, stops } = await inRecords();
    controller.press('outputs-off');
    expect(stops).toEqual(['off']);
  });

  it('are out of reach while anything may be energised', async () => {
    const { controller } = atGate();
    for await (const event of scriptedTray({ units: [{ tag: 'V-0105', outcome: 'pass' }] })) {
      controller.take(event);
      if (event.kind === 'step-started') break;
    }
    controller.press('rooms');
    await settled();
    expect(controller.state.rooms).toBeUndefined();
  });

  it('keep the beginning of a line that goes on', () => {
    expect(pageLines(['    one two three four five six seven'], 24)).toEqual([
      '    one two three four',
      '    five six seven',
    ]);
  });
});
