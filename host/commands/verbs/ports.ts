// `throwbench ports`: the serial ports that the operating system tells of. Opens none: a port may have a motor behind it.

import { type Command, EXIT, jsonText, parseCommandArgs, refuseMore } from '../command.js';
import { tableLines } from '../table.js';

export const command: Command = {
  usage: `usage: throwbench ports [--json]

  --json    one JSON array: path, vendorId, productId, manufacturer, product, serialNumber, location

examples:
  throwbench ports

A rig is known by the id it answers with, not by its port: plug it in, list again, take the port that is new.
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, { json: { type: 'boolean', default: false } });
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
};
