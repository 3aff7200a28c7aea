// Speed and memory of a large import: two million samples at 100 kHz, of one current and of every channel, read and
// measured in a process of its own, against one pass over the file's bytes.

import { execFileSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { CHANNEL_COLUMNS } from '../../host/capture/index.js';

const SAMPLES = 2_000_000;
const RATE_HZ = 100_000;
const ROUNDS = 3;

export async function benchImport(print: (line: string) => void): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-bench-'));
  try {
    print(
      `${SAMPLES} samples read and measured, processor time, best of ${ROUNDS} (asked: 2000 ms, 500 MB):`,
    );
    for (const [name, header, row] of [
      ['one current', 'time_s,motor_current_A', currentRow],
      ['six channels', `time_s,position,${CHANNEL_COLUMNS.join(',')}`, sixRow],
    ] as const) {
      const path = join(folder, 'capture.csv');
      writeRows(path, header, row);
      const runs = Array.from({ length: ROUNDS }, () => importOnce(path));
      const best = runs.reduce((a, b) => (b.readMs + b.measureMs < a.readMs + a.measureMs ? b : a));
      const ms = best.readMs + best.measureMs;
      const peakMb = Math.max(...runs.map((run) => run.peakMb));
      print(
        `  ${name}: ${ms.toFixed(0)} ms (read ${best.readMs.toFixed(0)}, measured ${best.measureMs.toFixed(0)}), ` +
          `${(ms / best.bytesMs).toFixed(1)} x one pass over the bytes; peak ${peakMb.toFixed(0)} MB; ` +
          `${best.quantities} quantities of ${best.samples} samples`,
      );
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

interface Once {
  samples: number;
  quantities: number;
  readMs: number;
  measureMs: number;
  peakMb: number;
  bytesMs: number;
}

function importOnce(path: string): Once {
  const script = fileURLToPath(new URL('./import-once.ts', import.meta.url));
  return JSON.parse(execFileSync(process.execPath, ['--import', 'tsx', script, path], { encoding: 'utf8' }));
}

function writeRows(path: string, header: string, row: (timeS: number, noise: number) => string): void {
  const file = openSync(path, 'w');
  try {
    let lines = [header];
    for (let k = 0; k < SAMPLES; k++) {
      lines.push(row(k / RATE_HZ, 0.02 * Math.sin(k * k)));
      if (lines.length >= 50_000 || k === SAMPLES - 1) {
        writeSync(file, `${lines.join('\n')}\n`);
        lines = [];
      }
    }
  } finally {
    closeSync(file);
  }
}

const startA = (sinceS: number): number =>
  (1.6 + 16 * Math.exp(-sinceS / 0.05)) * (1 - Math.exp(-sinceS / 0.001));

/** A clamp meter over two throws of six seconds. */
function currentRow(timeS: number, noise: number): string {
  const sinceS = (timeS % 10) - 2;
  const levelA = sinceS > 0 && sinceS < 6 ? startA(sinceS) : 0;
  return `${timeS.toFixed(5)},${(levelA + noise).toFixed(3)}`;
}

/** Two throws each way of three seconds; 60 bytes a row. */
function sixRow(timeS: number, noise: number): string {
  const inCycleS = timeS % 10;
  const sinceS = (inCycleS - 2) % 4;
  const isThrown = inCycleS > 2 && sinceS < 3;
  const isForward = inCycleS < 6;
  const levelA = isThrown ? startA(sinceS) : 0;
  const position = isThrown ? (isForward ? 'forward' : 'reverse') : 'rest';
  const drivenV = isThrown ? 13 - 0.05 * levelA + noise : 0.02;
  const returnV = 0.03 - noise;
  return [
    timeS.toFixed(5),
    position,
    (levelA + noise + (isThrown ? 0.15 : 0)).toFixed(4),
    ((isForward ? levelA : -levelA) + noise).toFixed(4),
    ((isThrown ? 0.15 : 0) + noise / 10).toFixed(5),
    (isForward ? drivenV : returnV).toFixed(4),
    (isForward ? returnV : drivenV).toFixed(4),
    (13.2 - 0.03 * levelA + noise / 3).toFixed(4),
  ].join(',');
}
