// Part of the build: writes the JSON Schema of every file format beside the compiled program, for the package.
import { mkdirSync, writeFileSync } from 'node:fs';
import { packageRoot } from './package-root.js';
import { jsonSchemas } from './store/json-schemas.js';

const folder = `${packageRoot}/dist/schemas`;
mkdirSync(folder, { recursive: true });
for (const [name, schema] of Object.entries(jsonSchemas))
  writeFileSync(`${folder}/${name}.json`, `${JSON.stringify(schema(), undefined, 1)}\n`);
