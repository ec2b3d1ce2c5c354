// Lets a plain node process run the sources: `./x.js` finds `./x.ts`, and types are stripped on loading. For processes that tests kill.
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import typescript from 'typescript';

export async function resolve(specifier, context, next) {
  if (/^\.{1,2}\/.*\.js$/.test(specifier) && context.parentURL?.endsWith('.ts'))
    return next(specifier.replace(/\.js$/, '.ts'), context);
  return next(specifier, context);
}

export async function load(url, context, next) {
  if (!url.endsWith('.ts')) return next(url, context);
  const text = await readFile(fileURLToPath(url), 'utf8');
  const { outputText } = typescript.transpileModule(text, {
    compilerOptions: { module: typescript.ModuleKind.ESNext, target: typescript.ScriptTarget.ES2023 },
  });
  return { format: 'module', source: outputText, shortCircuit: true };
}
