// The sign of a current beside leads that were sampled: a clamp lies as it was put, and some read no sign. The motor is
// integrated outside the program by the textbook equations (tests/references/outside-motor.ts): the truth is its sign.

import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';
import { asSeen, outsideRun } from '../references/outside-motor.js';

const run = outsideRun({
  throws: [
    [0.2, 1.2, 1],
    [1.9, 2.9, -1],
  ],
  lasts: 3.6,
  brakes: true,
});
const { timeS, channels } = asSeen(run, ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'], { seed: 6605 });
const { motorCurrentA: truth = new Float64Array(0), leadAVoltageV, leadBVoltageV } = channels;

function read(seen: (amperes: number) => number, leads = true) {
  const rows = Array.from(timeS, (t, row) => {
    const volts = [leadAVoltageV?.[row] ?? 0, leadBVoltageV?.[row] ?? 0];
    const cells = [seen(truth[row] ?? 0), ...(leads ? volts : [])];
    return [t.toFixed(4), ...cells.map((value) => value.toFixed(3))].join(',');
  });
  const head = leads ? 'time (s),current (A),lead A (V),lead B (V)' : 'time (s),current (A)';
  return readCaptureCsv(`${head}\n${rows.join('\n')}\n`, 'scope.csv');
}

/** Part of the samples with a current that have another sign than it had. */
function wrongPart({ channels: { motorCurrentA = new Float64Array(0) } }: ReturnType<typeof read>): number {
  const flowing = [...truth.keys()].filter((row) => Math.abs(truth[row] ?? 0) > 1);
  const wrong = flowing.filter((row) => (motorCurrentA[row] ?? 0) > 0 !== (truth[row] ?? 0) > 0);
  return wrong.length / flowing.length;
}

describe('the sign of a current', () => {
  it('is left alone where it goes with the leads, and where there are none', () => {
    for (const capture of [read((amperes) => amperes), read((amperes) => -amperes, false)])
      expect(capture.notes.join(' ')).not.toMatch(/sign/);
    expect(wrongPart(read((amperes) => amperes))).toBe(0);
  });

  it('is changed where it runs against them all the while, and that is said', () => {
    const capture = read((amperes) => -amperes);
    expect(wrongPart(capture)).toBe(0);
    expect(capture.notes.join(' ')).toContain('the clamp lies the other way round');
  });

  it('is theirs where the clamp reads none, brakes included', () => {
    const capture = read(Math.abs);
    // A contact that opens leaves its arc a few samples in the driven way.
    expect(wrongPart(capture)).toBeLessThan(0.005);
    expect(capture.notes.join(' ')).toContain('was read without its sign');
  });

  it('is left alone where it goes with the leads one way and against them the other', () => {
    let row = 0;
    const half = read((amperes) => ((timeS[row++] ?? 0) < 1.5 ? amperes : -amperes));
    expect(half.notes.join(' ')).not.toMatch(/sign/);
  });
});
