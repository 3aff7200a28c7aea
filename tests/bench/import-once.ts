// Reads and measures the capture named, once, in a process of its own, so that its memory can be told; prints JSON.

import { readFileSync } from 'node:fs';
import { readCaptureFile } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';

const cpuMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

const path = process.argv[2]!;
const startMs = cpuMs();
const capture = readCaptureFile(path);
const readMs = cpuMs();
const { measured } = measure(capture);
const endMs = cpuMs();
// Kilobytes, whatever the system (Node's process.resourceUsage).
const peakMb = process.resourceUsage().maxRSS / 1000;
const sumMs = cpuMs();
readFileSync(path).reduce((sum, byte) => sum + byte, 0);
const result = {
  samples: capture.timeS.length,
  quantities: Object.keys(measured).length,
  readMs: readMs - startMs,
  measureMs: endMs - readMs,
  peakMb,
  bytesMs: cpuMs() - sumMs,
};
process.stdout.write(JSON.stringify(result));
