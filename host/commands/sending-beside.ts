// What a verb records goes to the shop's server beside its work; what could not go is told in one line at the end, and
// changes nothing of how the verb ended.

import { join } from 'node:path';
import { logsDir, STORE_FILE } from '../records/index.js';
import { Sender } from '../records/sending/index.js';
import type { CommandIo } from './command.js';

export async function sendingBeside(run: () => Promise<number>, io: CommandIo): Promise<number> {
  const sender = new Sender(join(logsDir(), STORE_FILE));
  try {
    return await run();
  } finally {
    const waits = await sender.finish();
    if (waits !== undefined) io.stderr(`${waits}\n`);
  }
}
