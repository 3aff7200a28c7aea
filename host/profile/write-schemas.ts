// Part of `npm run build`: the JSON Schema of every kind of profile into profiles/schemas/, where the files name it for editors.

import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { jsonSchemaOf } from './json-schema.js';
import { SCHEMAS } from './load.js';

const folder = fileURLToPath(new URL('../../profiles/schemas/', import.meta.url));
mkdirSync(folder, { recursive: true });
for (const [kind, schema] of Object.entries(SCHEMAS))
  writeFileSync(`${folder}${kind}.json`, `${JSON.stringify(jsonSchemaOf(schema), undefined, 2)}\n`);
