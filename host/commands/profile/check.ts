// `profile check`: whether files are profiles, with all that they refer to; a line each.

import { readdirSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { scenarioSchema } from '../../circuit/index.js';
import { displayPath, InputError } from '../../input/index.js';
import { checkFile, checkShape, kindOf, YamlFile } from '../../profile/index.js';
import { type CommandIo, EXIT, jsonText } from '../command.js';
import { unitAsBuilt } from '../unit-as-built.js';

/** Its motor is put into a circuit to see whether that does what it says. */
const ANY_UNIT = 'window-lift-switch';

interface Told {
  file: string;
  isGood: boolean;
  kind?: string;
  title?: string;
  fault?: string;
}

/** Exit 2 where any file is faulty. @param refs files, folders of files, or ids */
export function check(io: CommandIo, refs: readonly string[], json: boolean): number {
  const told = refs.flatMap((ref) => filesAt(io.cwd, ref)).map(checked);
  const isGood = told.length > 0 && told.every((one) => one.isGood);
  if (json) io.stdout(jsonText({ files: told }));
  else {
    for (const one of told) {
      if (one.isGood) io.stdout(`${one.file}: ok, ${one.kind}: ${one.title}\n`);
      else io.stdout(`${one.fault}\n`);
    }
    if (told.length === 0) io.stdout('no YAML file there\n');
  }
  return isGood ? EXIT.pass : EXIT.usage;
}

function checked(ref: string): Told {
  try {
    if (/\.ya?ml$/i.test(ref)) {
      const file = YamlFile.read(ref);
      // A scenario is no profile: it states a circuit completely, for simulate --scenario.
      if (kindOf(file) === 'scenario')
        return {
          file: file.name,
          isGood: true,
          kind: 'scenario',
          title: checkShape(scenarioSchema, file).title,
        };
    }
    const { kind, path, value } = checkFile(ref);
    if (kind === 'circuit') unitAsBuilt(ANY_UNIT, path);
    return { file: displayPath(path), isGood: true, kind, title: value.title };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { file: displayPath(ref), isGood: false, fault: error.message };
  }
}

/** The YAML files of a folder and those below it; anything else as it is. */
function filesAt(cwd: string, ref: string): string[] {
  const path = resolve(cwd, ref);
  if (statSync(path, { throwIfNoEntry: false })?.isDirectory() !== true)
    return [/[\\/]|\.ya?ml$/i.test(ref) ? path : ref];
  return readdirSync(path, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.ya?ml$/i.test(name) && !/(^|[\\/])node_modules[\\/]/.test(name))
    .sort()
    .map((name) => join(path, name));
}
