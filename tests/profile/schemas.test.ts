// The JSON Schemas that the build writes into profiles/schemas, held by an independent validator (JSON Schema 2020-12) against every shipped file:
// what an editor underlines is what the program refuses.

import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { FOLDERS, jsonSchemaOf, SCHEMAS } from '../../host/profile/index.js';

const validator = new Ajv2020({ allErrors: true, strictTypes: false });
validator.addVocabulary(['unit', 'why']);

/** As an editor reads it. */
const asRead = (schema: (typeof SCHEMAS)[keyof typeof SCHEMAS]): object =>
  JSON.parse(JSON.stringify(jsonSchemaOf(schema))) as object;
const holds = new Map(
  Object.entries(SCHEMAS).map(([kind, schema]) => [kind, validator.compile(asRead(schema))]),
);

const files = [...new Set(Object.values(FOLDERS).flat())].flatMap((folder) =>
  readdirSync(`profiles/${folder}`)
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => `profiles/${folder}/${name}`),
);

function valid(value: unknown): boolean {
  const { kind } = value as { kind: string };
  const check = holds.get(kind);
  if (!check) throw new Error(`no schema for ${kind}`);
  return check(value);
}

describe('the schemas for editors', () => {
  it('finds the shipped files', () => {
    expect(files.length).toBeGreaterThan(50);
  });

  it.each(files)('hold %s, which names its own', (path) => {
    const text = readFileSync(path, 'utf8');
    const value = parse(text) as { kind: string };
    const named = /^# yaml-language-server: \$schema=(\S+)$/m.exec(text)?.[1] ?? '';
    expect(resolve(dirname(path), named)).toBe(resolve(join('profiles/schemas', `${value.kind}.json`)));
    valid(value);
    expect(holds.get(value.kind)?.errors ?? []).toEqual([]);
  });

  it('refuse what the program refuses: a misspelt key, a number beyond its range, text for a number, a key left out', () => {
    for (const path of files) {
      const value = parse(readFileSync(path, 'utf8')) as Record<string, unknown>;
      expect(valid({ ...value, colour: 'red' }), path).toBe(false);
      expect(valid({ ...value, title: 12 }), path).toBe(false);
      const { title: _, ...untitled } = value;
      expect(valid(untitled), path).toBe(false);
    }
    const motor = parse(readFileSync('profiles/motors/entry-step.yaml', 'utf8')) as object;
    expect(valid({ ...motor, resistanceOhm: 900 })).toBe(false);
    expect(valid({ ...motor, resistanceOhm: { nominal: 0.6, tolerance: 10 } })).toBe(false);
    expect(valid({ ...motor, resistanceOhm: 0.6 })).toBe(true);
  });
});
