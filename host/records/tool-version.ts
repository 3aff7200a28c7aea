// The version of this program, as it goes into every record.

import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { ownProfilesDir } from '../profile/index.js';

let known: string | undefined;

export function toolVersion(): string {
  known ??= (
    JSON.parse(readFileSync(join(dirname(ownProfilesDir()), 'package.json'), 'utf8')) as { version: string }
  ).version;
  return known;
}
