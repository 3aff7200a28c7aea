// The firmware image as it is shipped, found from the sources and from the built package alike.

import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const IMAGE = join('firmware-protocol', 'firmware', 'throwbench-rig.hex');

/** Text of the Intel HEX file. Throws an Error that names the file when it is not there. */
export function rigImage(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (let up = 0; up < 8; up++) {
    const path = join(folder, IMAGE);
    if (existsSync(path)) return readFileSync(path, 'utf8');
    folder = dirname(folder);
  }
  throw new Error(
    `the firmware image ${IMAGE} is missing; build it with: make -C firmware-protocol/firmware`,
  );
}
