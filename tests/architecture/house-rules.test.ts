import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const filesBelow = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(root.length))
    .filter((path) => !/(^|\/)(node_modules|dist|\.tmp)\//.test(path));
const sources = ['libs', 'apps'].flatMap(filesBelow).filter((path) => path.endsWith('.ts'));

describe('house rules', () => {
  it('keeps the top level as designed', () => {
    const visible = execFileSync('ls', ['-1', root], { encoding: 'utf8' }).trim().split('\n');
    const expected = [
      'DEVELOPERS.md',
      'LICENSE',
      'README.md',
      'apps',
      'deploy',
      'docker-compose.yml',
      'libs',
      'package-lock.json',
      'package.json',
      'tests',
      'tsconfig.json',
    ];
    const laidByUse = ['data', 'node_modules'];
    expect(visible.filter((name) => !laidByUse.includes(name)).sort()).toEqual(expected.sort());
  });

  it('type-checks sources and tests', () => {
    const run = spawnSync('npx', ['tsc', '-p', '.config/tsconfig.lint.json', '--noEmit'], {
      cwd: root,
      encoding: 'utf8',
    });
    expect(run.stdout).toBe('');
    expect(run.status).toBe(0);
  });

  it('passes lint, purity rules included', () => {
    const run = spawnSync('npm', ['run', '--silent', 'lint'], { cwd: root, encoding: 'utf8' });
    expect(run.stdout + run.stderr).toBe('');
    expect(run.status).toBe(0);
  });

  it('opens every lib with a page that says what it computes', () => {
    for (const lib of readdirSync(join(root, 'libs'))) {
      const text = readFileSync(join(root, 'libs', lib, 'src/index.ts'), 'utf8');
      expect(text, lib).toMatch(/^\/\*\*/);
    }
  });

  it('has no rooms without a name of their own', () => {
    expect(sources.filter((path) => /(^|\/)(utils?|helpers?|common|misc|core)(\.ts|\/)/.test(path))).toEqual(
      [],
    );
  });

  it('names every file in lower-case words with hyphens', () => {
    expect(sources.filter((path) => !/\/[a-z0-9]+(-[a-z0-9]+)*(\.[a-z]+)*\.ts$/.test(path))).toEqual([]);
  });

  it('reads the environment in one place only', () => {
    const readers = sources.filter(
      (path) =>
        !path.endsWith('.test.ts') &&
        /process\.env/.test(readFileSync(join(root, path), 'utf8').replace(/\/\*[\s\S]*?\*\//g, '')),
    );
    expect(readers).toEqual(['apps/monitor/src/main.ts']);
  });

  it('puts a source beside every reference fixture', () => {
    for (const path of filesBelow('libs').filter((name) => /\/fixtures\/.*\.json$/.test(name))) {
      expect(JSON.parse(readFileSync(join(root, path), 'utf8')), path).toHaveProperty('source');
    }
  });

  it('has the continuous-integration script run the test command of the README', () => {
    expect(existsSync(join(root, '.ci/run'))).toBe(true);
    const script = readFileSync(join(root, '.ci/run'), 'utf8');
    expect(script).toContain('npm ci\nnpm test');
    expect(readFileSync(join(root, 'README.md'), 'utf8')).toContain('npm ci && npm test');
  });
});
