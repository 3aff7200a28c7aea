// What a verb is called with, told once. Parsing, help, completion in shells and the manual page are made from it.

import { PLAIN_FORMS, settleForms } from '../tell/index.js';
import { type Command, type CommandIo, parseCommandArgs, UsageError } from './command.js';
import type { Declaration, OptionsTold } from './declaration.js';
import { usageText } from './usage-text.js';

export type Said<O extends OptionsTold> = ReturnType<typeof parseCommandArgs<O>>;

/** The command that is called so. `run` is handed what was said once it has been read. */
export function declared<const O extends OptionsTold>(
  declaration: Declaration<O>,
  run: (said: Said<O>, io: CommandIo) => Promise<number>,
): Command {
  return {
    declaration,
    get usage() {
      return usageText(declaration);
    },
    usageOf: (part) =>
      Object.hasOwn(declaration.parts ?? {}, part) ? usageText(declaration, part) : undefined,
    run: async (args, io) => {
      const said = parseCommandArgs(args, declaration.options);
      // Programs are told plain units and days, whatever is settled.
      const isForProgram = 'json' in said.values && said.values.json === true;
      if (declaration.isPlain || isForProgram) settleForms(PLAIN_FORMS);
      else settleForms(await (await import('./settled-forms.js')).settledForms());
      return run(said, io);
    },
  };
}

/**
 * The part that a word names.
 * @param values options as they were given; one with a default counts as not given while it has that
 * @throws UsageError for a word that names none, and for an option that does not go with the part
 */
export function partNamed<P extends string>(
  verb: string,
  { parts = {}, options }: Declaration,
  word: string,
  values: Readonly<Record<string, unknown>>,
): P {
  const known = Object.keys(parts);
  if (!known.includes(word))
    throw new UsageError(`unknown word ${JSON.stringify(word)} after ${verb}`, { word, known });
  for (const [name, { only, default: usual }] of Object.entries(options))
    if (values[name] !== undefined && values[name] !== usual && only?.includes(word) === false)
      throw new UsageError(`--${name} does not go with ${verb} ${word}`);
  return word as P;
}
