// A healthy unit of every circuit style that ships is never failed, whatever it rests at and however few ways it turns.

import { mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const CIRCUITS = new URL('../../profiles/circuits/', import.meta.url);
const folder = mkdtempSync(join(tmpdir(), 'throwbench-styles-'));
const SEED = 77;
const UNITS = 2;

function unitOf(circuit: string, relay: string): ResolvedUnit {
  const path = join(folder, `any-${circuit}.yaml`);
  writeFileSync(
    path,
    `id: any-${circuit}\ntitle: Any unit\nkind: unit\ncircuit: ${circuit}\nmotor: entry-step\n${relay}`,
  );
  return plannedUnit(path);
}

function withOrWithoutRelay(circuit: string): ResolvedUnit {
  try {
    return unitOf(circuit, '');
  } catch {
    return unitOf(circuit, 'relay: mini-changeover\n');
  }
}

describe(`a healthy unit of each style, draws of seed ${SEED}`, () => {
  // A relay by itself has tests of its own.
  const circuits = readdirSync(CIRCUITS)
    .map((file) => file.replace('.yaml', ''))
    .filter((id) => id !== 'relay-alone');
  it.each(circuits)('%s passes', (circuit) => {
    const unit = withOrWithoutRelay(circuit);
    const expected = expectationOf(unit, 40);
    const random = seededRandom(SEED);
    for (let n = 0; n < UNITS; n++) {
      const { capture, stop } = benchRun(unit, drawInput(unit, random), { seed: 500 + n });
      const judgement = judge({ unit, capture, expectation: expected, stop });
      const complaints = judgement.checks
        .filter(({ outcome }) => outcome !== 'pass' && outcome !== 'conditional-pass')
        .map(({ sentence }) => sentence);
      expect(judgement.verdict, complaints.join(' | ')).toBe('pass');
    }
  });
});
