// `throwbench ports`: the serial ports that the operating system tells of. Opens none: a port may have a motor behind it.

import { type Command, EXIT, parseCommandArgs, UsageError } from '../command.js';

export const command: Command = {
  usage: `usage: throwbench ports [--json]

  --json    one JSON array: path, vendorId, productId, manufacturer, product, serialNumber, location

A rig is known by the id it answers with, not by its port: plug it in, list again, take the port that is new.
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, { json: { type: 'boolean', default: false } });
    if (positionals.length > 0)
      throw new UsageError(`${JSON.stringify(positionals[0])} is one word too many`);
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
      io.stdout(`${JSON.stringify(rows, undefined, 2)}\n`);
      return EXIT.pass;
    }
    if (ports.length === 0) {
      io.stdout('no serial ports: plug the rig in, try another cable (some only charge), then list again\n');
      return EXIT.pass;
    }
    const width = Math.max(...ports.map(({ path }) => path.length));
    for (const { path, vendorId, productId, manufacturer, pnpId, serialNumber } of ports) {
      const maker = vendorId === undefined ? 'no USB ids' : `${vendorId}:${productId ?? '????'}`;
      const words = [manufacturer, pnpId, serialNumber && `serial ${serialNumber}`]
        .filter(Boolean)
        .join(', ');
      io.stdout(`${path.padEnd(width)}  ${maker}${words === '' ? '' : `  ${words}`}\n`);
    }
    return EXIT.pass;
  },
};
