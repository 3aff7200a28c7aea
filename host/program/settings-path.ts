// Where the settings of a workshop stand: where the platform keeps settings (XDG Base Directory on Unix), unless
// THROWBENCH_SETTINGS names a file.

import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

export const SETTINGS_VARIABLE = 'THROWBENCH_SETTINGS';

/** The file, which need not exist. */
export function settingsPath(env: NodeJS.ProcessEnv = process.env, platform = process.platform): string {
  const named = env[SETTINGS_VARIABLE];
  if (named) return resolve(named);
  const own = platform === 'win32' ? env.APPDATA : env.XDG_CONFIG_HOME;
  const usual =
    platform === 'win32'
      ? join(homedir(), 'AppData', 'Roaming')
      : platform === 'darwin'
        ? join(homedir(), 'Library', 'Application Support')
        : join(homedir(), '.config');
  return join(own || usual, 'throwbench', 'settings.yaml');
}
