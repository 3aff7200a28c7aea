// Listing is tried on a made-up sysfs tree, laid out as Linux lays out a USB serial port and a PC's own slots.

import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { command as portsCommand } from '../../host/commands/verbs/ports.js';
import { listPorts } from '../../host/link/index.js';
import { call } from '../commands/call.js';

const root = mkdtempSync(join(tmpdir(), 'throwbench-sysfs-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

function file(path: string, text: string): void {
  writeFileSync(join(root, path), `${text}\n`);
}
function folder(path: string): void {
  mkdirSync(join(root, path), { recursive: true });
}
function link(path: string, to: string): void {
  symlinkSync(join(root, to), join(root, path));
}

folder('devices/usb1/1-2/1-2:1.0/ttyUSB0');
folder('drivers/ch341');
folder('drivers/serial8250');
file('devices/usb1/1-2/idVendor', '1a86');
file('devices/usb1/1-2/idProduct', '7523');
file('devices/usb1/1-2/product', 'USB Serial');
link('devices/usb1/1-2/1-2:1.0/ttyUSB0/driver', 'drivers/ch341');
folder('class/ttyUSB0');
link('class/ttyUSB0/device', 'devices/usb1/1-2/1-2:1.0/ttyUSB0');
folder('devices/platform/serial8250');
link('devices/platform/serial8250/driver', 'drivers/serial8250');
folder('class/ttyS7');
link('class/ttyS7/device', 'devices/platform/serial8250');
folder('class/tty0');

describe.runIf(process.platform === 'linux')('listing ports on Linux', () => {
  it('tells the maker’s ids, and leaves out consoles and empty slots', async () => {
    expect(await listPorts(join(root, 'class'))).toEqual([
      {
        path: '/dev/ttyUSB0',
        vendorId: '1a86',
        productId: '7523',
        pnpId: 'USB Serial',
        manufacturer: undefined,
        serialNumber: undefined,
        locationId: '1-2',
      },
    ]);
  });

  it('is empty, not an error, where there are no ports at all', async () => {
    expect(await listPorts(join(root, 'nowhere'))).toEqual([]);
  });
});

describe('throwbench ports', () => {
  const ports = async (args: string[]) => {
    const { code, stdout } = await call(portsCommand, args, root);
    return { code, out: stdout };
  };

  it('prints a JSON array with --json', async () => {
    const { code, out } = await ports(['--json']);
    expect(code).toBe(0);
    expect(Array.isArray(JSON.parse(out))).toBe(true);
  });

  it('prints a line a port, or what to do when there is none', async () => {
    const { code, out } = await ports([]);
    expect(code).toBe(0);
    expect(out.trim()).not.toBe('');
  });

  it('refuses words that it does not know', async () => {
    await expect(ports(['/dev/ttyUSB0'])).rejects.toThrow(/one word too many/);
    await expect(ports(['--jsno'])).rejects.toThrow(/unknown option --jsno/);
  });
});
