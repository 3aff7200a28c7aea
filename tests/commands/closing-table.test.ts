// What stands in the terminal when a sitting is over.

import { describe, expect, it } from 'vitest';
import { closingTable } from '../../host/commands/plain-lines.js';
import { EMPTY_VIEW, reduceBench } from '../../host/screens/index.js';
import { UNICODE } from '../screens/fake-terminal.js';
import { scriptedTray, TRAY } from '../screens/scripted-bench.js';

describe('the closing table', () => {
  it('says of each unit what was decided, and nothing where nothing was', async () => {
    let view = EMPTY_VIEW;
    for await (const event of scriptedTray({ units: TRAY.slice(0, 2) })) view = reduceBench(view, event);
    view = reduceBench(view, {
      ...{ kind: 'disposed', index: 1, tag: 'V-0102', runId: 'run-2', disposition: 'rework' },
    });
    const rows = closingTable(view, UNICODE).split('\n');
    expect(rows.find((row) => row.startsWith('V-0101'))).toMatch(/^V-0101 +PASS +Throws both ways/);
    expect(rows.find((row) => row.startsWith('V-0102'))).toMatch(
      /^V-0102 +FAIL +To be reworked\. Forward inrush is 8\.7 A/,
    );
  });
});

describe('a unit that did not pass', () => {
  it('is told with its next probe, wrapped at the width of the terminal and not cut', async () => {
    let view = EMPTY_VIEW;
    for await (const event of scriptedTray({ units: TRAY.slice(0, 2) })) view = reduceBench(view, event);
    const probe = 'Measure lead to lead at four shaft angles, feed off; above 1.5 Ohm means brushes.';
    expect(closingTable(view, UNICODE)).toContain(`Next probe: ${probe}`);
    const rows = closingTable(view, UNICODE, 80).split('\n');
    expect(Math.max(...rows.map((row) => row.length))).toBeLessThan(80);
    expect(rows.map((row) => row.trim()).join(' ')).toContain(`Next probe: ${probe}`);
    expect(rows.join('')).not.toContain('…');
  });
});
