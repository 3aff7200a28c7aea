// Lists serial ports as the operating system tells of them, opening none: a port may have a motor behind it.
// On Linux sysfs is read directly, because the add-on's list needs udevadm and ends the process where it is missing.

import { readdir, readFile, realpath } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { nativePort } from './native-binding.js';
import type { PortInfo } from './serial-binding.js';

export async function listPorts(sysfs = '/sys/class/tty'): Promise<PortInfo[]> {
  if (process.platform === 'linux') return listSysfs(sysfs);
  return (await nativePort('')).binding.list();
}

async function listSysfs(folder: string): Promise<PortInfo[]> {
  const names = await readdir(folder).catch(() => []);
  const ports = await Promise.all(names.sort().map((name) => describe(folder, name)));
  return ports.filter((port) => port !== undefined);
}

/** Undefined for consoles and for the board-less serial slots of a PC (type 0 in serial_core.h: unknown). */
async function describe(folder: string, name: string): Promise<PortInfo | undefined> {
  const device = await realpath(join(folder, name, 'device')).catch(() => undefined);
  if (device === undefined) return undefined;
  const driver = await realpath(join(device, 'driver')).catch(() => '');
  if (/serial8250$/.test(driver) || (await text(join(folder, name, 'type'))) === '0') return undefined;
  const usb = await usbAncestor(device);
  const read = (file: string): Promise<string | undefined> =>
    usb === undefined ? Promise.resolve(undefined) : text(join(usb, file));
  return {
    path: `/dev/${name}`,
    manufacturer: await read('manufacturer'),
    serialNumber: await read('serial'),
    pnpId: await read('product'),
    locationId: usb === undefined ? undefined : usb.slice(usb.lastIndexOf('/') + 1),
    productId: await read('idProduct'),
    vendorId: await read('idVendor'),
  };
}

/** The USB device that a tty belongs to: the nearest folder above it that has a maker's number. */
async function usbAncestor(device: string): Promise<string | undefined> {
  let folder = device;
  for (let up = 0; up < 8 && folder !== '/'; up++) {
    if ((await text(join(folder, 'idVendor'))) !== undefined) return folder;
    folder = dirname(folder);
  }
  return undefined;
}

async function text(path: string): Promise<string | undefined> {
  const content = await readFile(path, 'utf8').catch(() => undefined);
  const trimmed = content?.trim();
  return trimmed === '' ? undefined : trimmed;
}
