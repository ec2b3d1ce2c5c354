// Parses the AsyncAPI document in the file that is named, and writes a line for each error and warning, then its version. A program of its own,
// because the runner of the tests resolves packages under conditions that mix the parser's two module formats.
import { Parser } from '@asyncapi/parser';
import { readFileSync } from 'node:fs';

const { document, diagnostics } = await new Parser().parse(readFileSync(process.argv[2] ?? '', 'utf8'));
// 0 is an error, 1 a warning; what lies beyond is advice.
for (const { severity, code, message, path } of diagnostics)
  if (severity <= 1) console.log(`${code}: ${message} ${path.join('/')}`);
console.log(`parsed as ${document?.version() ?? 'nothing'}`);
