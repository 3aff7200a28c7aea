// Speed of a large import: two million samples of one current, read and measured, against reading the file's bytes alone.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readCaptureFile } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';

const cpuMs = (work: () => unknown): number => {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
};

export async function benchImport(print: (line: string) => void): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-bench-'));
  try {
    const path = join(folder, 'clamp.csv');
    const rows = ['time_s,motor_current_A'];
    for (let k = 0; k < 2_000_000; k++) {
      const u = ((k / 1e5) % 10) - 2;
      const level = u > 0 && u < 6 ? (1.6 + 16 * Math.exp(-u / 0.05)) * (1 - Math.exp(-u / 0.001)) : 0;
      rows.push(`${(k / 1e5).toFixed(5)},${(level + 0.02 * Math.sin(k * k)).toFixed(3)}`);
    }
    writeFileSync(path, `${rows.join('\n')}\n`);
    rows.length = 0;
    const bytesMs = cpuMs(() => readFileSync(path).reduce((sum, byte) => sum + byte, 0));
    const importMs = cpuMs(() => measure(readCaptureFile(path)));
    print(
      `two million samples read and measured: ${importMs.toFixed(0)} ms CPU (asked: 2000), ${(importMs / bytesMs).toFixed(1)} x one pass over the bytes`,
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
