// Looks at a port's path before anything is opened or shown, so that a wrong name is bad input and not a failed run.
// Windows names ports without files; there the opening itself tells.

import { constants } from 'node:fs';
import { access, stat } from 'node:fs/promises';
import { LinkError } from '../link/index.js';

/** Throws LinkError `port-not-found`, `port-not-serial` or `port-permission`. Opens nothing: that would reset the board. */
export async function checkPort(path: string, platform: string = process.platform): Promise<void> {
  if (platform === 'win32') return;
  const found = await stat(path).catch((error: Error) => {
    throw new LinkError('port-not-found', { path }, error);
  });
  if (!found.isCharacterDevice()) {
    throw new LinkError('port-not-serial', { path, said: found.isDirectory() ? 'a folder' : 'no device' });
  }
  await access(path, constants.R_OK | constants.W_OK).catch((error: Error) => {
    throw new LinkError('port-permission', { path }, error);
  });
}
