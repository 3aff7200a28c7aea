// What a verb records goes to the shop's server beside its work; what could not go is told in one line at the end, and
// changes nothing of how the verb ended.

import { join } from 'node:path';
import type { CommandIo } from './command.js';
import { namedServer } from './shop-server.js';

export async function sendingBeside(run: () => Promise<number>, io: CommandIo): Promise<number> {
  const server = await namedServer();
  if (server === undefined) return run();
  const { logsDir, STORE_FILE } = await import('../records/index.js');
  const { Sender } = await import('../records/sending/index.js');
  const sender = new Sender(join(logsDir(), STORE_FILE), server);
  try {
    return await run();
  } finally {
    const waits = await sender.finish();
    if (waits !== undefined) io.stderr(`${waits}\n`);
  }
}
