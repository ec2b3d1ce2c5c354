import eslint from '@eslint/js';
import jsdoc from 'eslint-plugin-jsdoc';
import tseslint from 'typescript-eslint';
import { readdirSync, readFileSync } from 'node:fs';

const root = new URL('..', import.meta.url);
const pureLibs = readdirSync(new URL('libs', root)).filter(
  (name) =>
    JSON.parse(readFileSync(new URL(`libs/${name}/package.json`, root), 'utf8')).edgeMargin.tier === 'pure',
);
const pureSources = pureLibs.map((name) => `libs/${name}/src/**/*.ts`);

export default tseslint.config(
  { ignores: ['**/dist/**', '**/node_modules/**', '**/*.mjs', '**/*.d.mts', '**/vite.config.ts'] },
  eslint.configs.recommended,
  tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: { project: '.config/tsconfig.lint.json', tsconfigRootDir: root.pathname },
    },
    rules: {
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'inline-type-imports', disallowTypeAnnotations: false }],
      '@typescript-eslint/restrict-template-expressions': [
        'error',
        { allowNumber: true, allowBoolean: true },
      ],
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/no-extraneous-class': ['error', { allowWithDecorator: true }],
      '@typescript-eslint/no-non-null-assertion': 'error',
      '@typescript-eslint/no-unnecessary-condition': ['error', { allowConstantLoopConditions: true }],
      'no-restricted-exports': ['error', { restrictDefaultExports: { direct: true } }],
      '@typescript-eslint/no-unsafe-class-instance-assignment': 'off',
      'no-control-regex': 'off',
    },
  },
  {
    files: ['libs/*/src/**/*.ts'],
    ignores: ['**/*.test.ts', '**/migrations/**'],
    plugins: { jsdoc },
    rules: { 'jsdoc/require-jsdoc': ['error', { publicOnly: true, require: { FunctionDeclaration: true } }] },
  },
  {
    files: pureSources,
    ignores: ['**/*.test.ts'],
    rules: {
      'no-restricted-globals': [
        'error',
        'process',
        'console',
        'setTimeout',
        'setInterval',
        'fetch',
        'performance',
        'window',
        'document',
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'Pure code is told the time.' },
        { object: 'Math', property: 'random', message: 'Pure code is given its random numbers.' },
      ],
      'no-restricted-syntax': [
        'error',
        {
          selector: 'NewExpression[callee.name="Date"][arguments.length=0]',
          message: 'Pure code is told the time.',
        },
      ],
    },
  },
  {
    files: ['**/*.test.ts', 'tests/**/*.ts'],
    rules: {
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/require-await': 'off',
      '@typescript-eslint/no-unnecessary-condition': 'off',
      '@typescript-eslint/no-invalid-void-type': 'off',
    },
  },
);
