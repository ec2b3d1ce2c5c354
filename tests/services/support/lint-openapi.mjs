// Lints the OpenAPI document in the file that is named, by the linter's recommended rules, and writes a line for each finding. A program of its
// own, so that the tests' connections do not go stale while it works.
import { createConfig, lintFromString } from '@redocly/openapi-core';
import { readFileSync } from 'node:fs';

const config = await createConfig({ extends: ['recommended'] });
const source = readFileSync(process.argv[2] ?? '', 'utf8');
for (const { ruleId, message, location } of await lintFromString({ source, config }))
  console.log(`${ruleId}: ${message} ${location[0]?.pointer ?? ''}`);
console.log('linted');
