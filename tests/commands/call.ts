// A command called as from a pipe, with all that it wrote.

import type { Command, CommandIo } from '../../host/commands/command.js';

export interface Called {
  code: number;
  stdout: string;
  stderr: string;
}

/** Streams that gather what is written to them; no terminal unless `terminal` says so. */
export function gathering(
  cwd: string,
  terminal: Partial<CommandIo> = {},
): { io: CommandIo; written: { stdout: string; stderr: string } } {
  const written = { stdout: '', stderr: '' };
  const io: CommandIo = {
    stdout: (text) => {
      written.stdout += text;
    },
    stderr: (text) => {
      written.stderr += text;
    },
    isTty: false,
    columns: 80,
    rows: 24,
    cwd,
    ...terminal,
  };
  return { io, written };
}

export async function call(
  command: Command,
  args: string[],
  cwd: string,
  terminal: Partial<CommandIo> = {},
): Promise<Called> {
  const { io, written } = gathering(cwd, terminal);
  return { code: await command.run(args, io), ...written };
}
