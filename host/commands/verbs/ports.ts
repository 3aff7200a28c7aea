// `throwbench ports`: the serial ports that the operating system tells of. Opens none: a port may have a motor behind it.

import { JSON_OPTION } from '../bench-named.js';
import { EXIT, jsonText, refuseMore } from '../command.js';
import { declared } from '../declared.js';
import { tableLines } from '../table.js';

export const command = declared(
  {
    calls: ['ports [--json]'],
    options: {
      json: {
        ...JSON_OPTION,
        words: 'one JSON array: path, vendorId, productId, manufacturer, product, serialNumber, location',
      },
    },
    notes: `A rig is known by the id it answers with, not by its port: plug it in, list again, take the port that is new.`,
    examples: ['ports', 'ports --json'],
    isPlain: true,
    exit: '0 listed, 2 usage, 3 the ports cannot be listed',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { listPorts } = await import('../../link/index.js');
    const ports = await listPorts();
    if (values.json) {
      const rows = ports.map((port) => ({
        path: port.path,
        vendorId: port.vendorId,
        productId: port.productId,
        manufacturer: port.manufacturer,
        product: port.pnpId,
        serialNumber: port.serialNumber,
        location: port.locationId,
      }));
      io.stdout(jsonText(rows));
      return EXIT.pass;
    }
    if (ports.length === 0) {
      io.stdout('no serial ports: plug the rig in, try another cable (some only charge), then list again\n');
      return EXIT.pass;
    }
    const rows = ports.map(({ path, vendorId, productId, manufacturer, pnpId, serialNumber }) => [
      path,
      vendorId === undefined ? 'no USB ids' : `${vendorId}:${productId ?? '????'}`,
      [manufacturer, pnpId, serialNumber && `serial ${serialNumber}`].filter(Boolean).join(', '),
    ]);
    for (const line of tableLines(rows)) io.stdout(`${line}\n`);
    return EXIT.pass;
  },
);
