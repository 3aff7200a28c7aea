// A relay by the current of its coil alone. While an armature moves, the coil's inductance grows and its current dips; of
// one that is held the current rises in one sweep (Solenoid Fundamentals, Operating Speed; TI SSIY001, 1974). Made here by a
// coil of 85 Ohm and 0.3 H that is integrated in small steps, and by nothing of host/.

import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../../host/capture/index.js';
import { expectation, judge } from '../../../host/judge/index.js';
import { loadUnit } from '../../../host/profile/index.js';

const COIL = { ohm: 85, henry: 0.3, grows: 0.4, movesAtA: 0.07, movesForS: 0.0025, supplyV: 13 };

function coilAlone(moves: boolean): ReturnType<typeof readCaptureCsv> {
  const rows: string[] = [];
  const stepS = 1e-5;
  let [currentA, place] = [0, 0];
  for (let k = 0; k < 100_000; k++) {
    const t = k * stepS;
    const isOn = [0.1, 0.4, 0.7].some((from) => t >= from && t < from + 0.15);
    const isMoving = isOn && moves && currentA > COIL.movesAtA && place < 1;
    if (isMoving) place += stepS / COIL.movesForS;
    if (!isOn) [currentA, place] = [0, 0];
    else {
      // The flux linkage L i is what the voltage drives: d(L i)/dt = u - R i.
      const motional = isMoving ? (currentA * COIL.henry * COIL.grows) / COIL.movesForS : 0;
      const henry = COIL.henry * (1 + COIL.grows * Math.min(1, place));
      currentA += ((COIL.supplyV - COIL.ohm * currentA - motional) / henry) * stepS;
    }
    if (k % 10 === 0) rows.push(`${t.toFixed(4)},${(currentA + 0.0005 * Math.sin(k * k)).toFixed(5)}`);
  }
  return readCaptureCsv(['Time (s),Coil current (A)', ...rows].join('\n'), 'coil.csv');
}

describe('a relay by its coil current alone', () => {
  const unit = loadUnit('mini-changeover-alone');
  const known = expectation(unit, { draws: 40 });
  const told = (moves: boolean) => judge({ unit, capture: coilAlone(moves), expectation: known });

  it('whose armature is held is not said to have nothing wrong', () => {
    const { verdict, findings, sentence } = told(false);
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toMatch(
      /^The coil current rises in one sweep, without the mark of an armature that moves/,
    );
    expect(sentence).not.toMatch(/nothing points to a fault/);
    expect(findings.map(({ sentence: words }) => words).join(' ')).not.toMatch(/Nothing in the readings/);
    expect(findings[0]?.sentence).toMatch(/nothing shows that the armature moves/);
  });

  it('whose armature moves is accused of nothing', () => {
    const { verdict, findings, sentence } = told(true);
    expect(verdict, sentence).toBe('cannot-tell');
    expect(findings[0], sentence).toMatchObject({ id: 'healthy' });
  });
});
