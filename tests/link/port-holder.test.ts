// Who holds a port, by the open files of the processes (proc(5)): any file stands for the port here.

import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { LinkError } from '../../host/link/index.js';
import { holderOf } from '../../host/link/port-holder.js';

describe.skipIf(!existsSync('/proc/self/fd'))('who holds a port', () => {
  let folder: string;
  let port: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-holder-'));
    port = join(folder, 'port');
    writeFileSync(port, '');
    symlinkSync(port, join(folder, 'by-another-name'));
    const hold = `require('node:fs').openSync(process.env.PORT, 'r+'); console.log('holds'); setInterval(() => {}, 1000);`;
    for (const name of ['cli.js', 'monitor.js']) writeFileSync(join(folder, name), hold);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const heldBy = (script: string, ...args: string[]) =>
    whileHeld(script, args, async (pid) => ({ told: holderOf(join(folder, 'by-another-name')), pid }));

  async function whileHeld<T>(script: string, args: string[], look: (pid: number) => Promise<T>): Promise<T> {
    const child = spawn(process.execPath, [join(folder, script), ...args], {
      env: { ...process.env, PORT: port },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    try {
      if (child.stdout === null) throw new Error('no output');
      await once(child.stdout, 'data');
      return await look(child.pid ?? 0);
    } finally {
      const gone = once(child, 'exit');
      child.kill('SIGKILL');
      await gone;
    }
  }

  it('is told by the verb of this program, and by the name of another', async () => {
    const own = await heldBy('cli.js', 'tray', 'today.yaml');
    expect(own.told).toBe(`throwbench tray (process ${own.pid})`);
    const other = await heldBy('monitor.js');
    expect(other.told).toBe(`node (process ${other.pid})`);
    const said = new LinkError('port-busy', { path: '/dev/ttyUSB0', holder: own.told ?? '' }).message;
    expect(said).toBe(`port /dev/ttyUSB0 is held by throwbench tray (process ${own.pid})`);
  });

  it('is not the virtual rig behind it while a bench is on it', async () => {
    await whileHeld('cli.js', ['virtual', '--stdio'], async (pid) => {
      expect(holderOf(port)).toBe(`throwbench virtual (process ${pid})`);
      const bench = await heldBy('cli.js', 'bench');
      expect(bench.told).toBe(`throwbench bench (process ${bench.pid})`);
    });
  });

  it('is nobody where nobody does, or there is no such port', () => {
    expect(holderOf(port)).toBeUndefined();
    expect(holderOf(join(folder, 'none'))).toBeUndefined();
  });
});
