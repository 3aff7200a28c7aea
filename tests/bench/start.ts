// How long a start takes, against a bare start of Node in turn with it: on the clock, median of the pairs.

import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../../host/records/index.js';
import { begin, capture, judgement } from '../records/example-run.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CLI = join(ROOT, 'dist', 'cli.js');
const PAIRS = 9;
const RUNS_IN_STORE = 20;
const SEEN = { profile: 'entry-step-relays', fault: 'k2-coil-open' };
const FRAME_PATIENCE_MS = 30_000;

export async function benchStart(print: (line: string) => void): Promise<void> {
  execFileSync('npm', ['run', '--silent', 'build'], { cwd: ROOT });
  const logs = mkdtempSync(join(tmpdir(), 'throwbench-start-'));
  try {
    fillStore(logs);
    const env = { ...process.env, THROWBENCH_LOGS: logs, THROWBENCH_CACHE: join(logs, 'cache') };
    print(`starts as multiples of a bare start of Node, median of ${PAIRS} pairs:`);
    for (const [args, asked] of [
      ['--help', '1.5'],
      ...['run', 'tray', 'judge', 'measure', 'simulate', 'calibrate', 'log', 'ports', 'rig', 'virtual'].map(
        (verb) => [`${verb} --help`, '2.5'] as const,
      ),
      ['log', '2.5'],
    ] as const) {
      const ratio = await medianRatio(() =>
        wall(() => spawnSync(process.execPath, [CLI, ...args.split(' ')], { env })),
      );
      print(`  ${args}: ${ratio.toFixed(2)} (asked: ${asked} at most)`);
    }
    for (const [word, fault, asked] of [
      ['good', [], '9'],
      ['faulty', ['--fault', SEEN.fault], '11'],
    ] as const) {
      const path = join(logs, `${word}.csv`);
      const throwbench = (...args: string[]) => spawnSync(process.execPath, [CLI, ...args], { env });
      throwbench('simulate', '--profile', SEEN.profile, ...fault, '--csv', path);
      const judge = () => throwbench('judge', path, '--profile', SEEN.profile);
      judge();
      const ratio = await medianRatio(() => wall(judge));
      print(`  judge of a profile seen before, ${word}: ${ratio.toFixed(1)} (asked: ${asked} at most)`);
    }
    if (spawnSync('script', ['--version']).error)
      print('  first frame of npm start: not measured, there is no script(1)');
    else
      print(
        `  first frame of npm start: ${(await medianRatio(() => firstFrameMs(env))).toFixed(1)} (asked: 12 at most)`,
      );
  } finally {
    rmSync(logs, { recursive: true, force: true });
  }
}

function fillStore(folder: string): void {
  const store = openStore(folder);
  for (let i = 0; i < RUNS_IN_STORE; i++) {
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(1000), judgement: judgement('fail') });
  }
  store.close();
}

function wall(work: () => void): number {
  const startMs = performance.now();
  work();
  return performance.now() - startMs;
}

async function medianRatio(measureMs: () => number | Promise<number>): Promise<number> {
  const ratios: number[] = [];
  for (let pair = 0; pair < PAIRS; pair++) {
    const bareMs = wall(() => spawnSync(process.execPath, ['-e', '0']));
    ratios.push((await measureMs()) / bareMs);
  }
  return ratios.sort((a, b) => a - b)[PAIRS >> 1] ?? Number.NaN;
}

/** Until the cautions stand on a terminal of 100 columns and 30 rows. */
function firstFrameMs(env: NodeJS.ProcessEnv): Promise<number> {
  const startMs = performance.now();
  const command = 'stty cols 100 rows 30; exec npm start';
  const child = spawn('script', ['-qec', command, '/dev/null'], {
    cwd: ROOT,
    env: { ...env, TERM: 'xterm-256color', LANG: 'C.UTF-8' },
    stdio: ['pipe', 'pipe', 'ignore'],
  });
  return new Promise((resolve, reject) => {
    let seen = '';
    const end = (ms?: number): void => {
      clearTimeout(patience);
      child.removeAllListeners();
      // Ctrl-C: outputs off and leave, as a person would.
      child.stdin.end('\u0003');
      child.kill('SIGHUP');
      if (ms === undefined) reject(new Error(`no caution page; seen: ${seen.slice(-200)}`));
      else child.once('close', () => resolve(ms));
    };
    const patience = setTimeout(end, FRAME_PATIENCE_MS);
    child.once('close', () => end());
    child.stdout.on('data', (chunk: Buffer) => {
      seen += chunk.toString('utf8');
      if (seen.includes('Before the first throw')) {
        child.stdout.removeAllListeners('data');
        child.stdout.resume();
        end(performance.now() - startMs);
      }
    });
  });
}
