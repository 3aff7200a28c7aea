// The list of runs in a terminal: what a run came to is read at any width.

import { describe, expect, it } from 'vitest';
import { runTable } from '../../host/commands/log-text.js';
import type { RunSummary } from '../../host/records/index.js';

const RUN = {
  runId: '2026-12-01-0107',
  startedAt: '2026-12-01T05:05:53.000Z',
  tag: 'V-0107',
  profileId: 'entry-step-relays',
  status: 'finished',
  verdict: 'fail',
  sentence: 'The coil of K2 is open between 85 and 86. Next probe: Outputs off, exchange K1 and K2.',
} as RunSummary;

describe('the list of runs', () => {
  it('puts the reason beneath its run where 80 columns leave no room beside it', () => {
    const lines = runTable([RUN], 80).split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(lines[1]).toMatch(/^2026-12-01-0107 .* V-0107 +FAIL +entry-step-relays$/);
    expect(lines[2]).toMatch(/^ {2}The coil of K2 is open between 85 and 86\. Next probe: /);
  });

  it('keeps one row a run in a wide window and in a pipe', () => {
    for (const columns of [160, undefined])
      expect(runTable([RUN], columns)).toMatch(/\n2026-12-01-0107 .* The coil of K2 is open[^\n]*\n$/);
  });
});
