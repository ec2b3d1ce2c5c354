import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from './check.js';
import type { CommandIo } from './command.js';
import { runCommand } from './run-command.js';

const demo = readFileSync(new URL('../../../deploy/plant.demo.yaml', import.meta.url), 'utf8');

/** Runs words of a command line against given files and standard input. */
async function run(words: readonly string[], files: Readonly<Record<string, string>> = {}, stdin = '') {
  const out = { stdout: '', stderr: '' };
  const io: CommandIo = {
    stdin: () => Promise.resolve(stdin),
    stdout: (text) => {
      out.stdout += text;
    },
    stderr: (text) => {
      out.stderr += text;
    },
    readFile: (path) => {
      const text = files[path];
      return text === undefined
        ? Promise.reject(Object.assign(new Error('gone'), { code: 'ENOENT', path }))
        : Promise.resolve(text);
    },
  };
  const code = await runCommand([check], words, io);
  return { code, ...out };
}

describe('check', () => {
  it('says of a good file what it holds, and exits with 0', async () => {
    expect(await run(['check', 'p.yaml'], { 'p.yaml': demo })).toEqual({
      code: 0,
      stdout: 'p.yaml: no problems, no warnings; 2 winders, 3 stations, 2 grades, 3 sources\n',
      stderr: '',
    });
  });

  it('prints problems, then warnings, then one line that sums up, and exits with 1', async () => {
    const text = demo
      .replace('ratedRolls: 24', 'ratedRolls: 4')
      .replace('unit: m/min', 'unit: mpm')
      .replace('sequence: /n', 'sequense: /n');
    const { code, stdout } = await run(['check', 'p.yaml'], { 'p.yaml': text });
    expect(code).toBe(1);
    const at = (needle: string) => {
      const before = text.slice(0, text.indexOf(needle)).split('\n');
      return `p.yaml:${before.length}:${(before.at(-1)?.length ?? 0) + 1}`;
    };
    expect(stdout.split('\n')).toEqual([
      `${at('sequense')} error sources[0].sequense: got the key "sequense", expected a known key; the nearest is sequence`,
      `${at('mpm')} error sources[0].signals[0].unit: got "mpm", expected a UCUM code that is supported; the nearest is m/min`,
      `${at('4\n      criticalSpeed')} warning grades[0].calibration.ratedRolls: got 4, expected 10 rated rolls or more before people are called`,
      'p.yaml: 2 problems, 1 warning',
      '',
    ]);
  });

  it('reads standard input for -', async () => {
    expect(await run(['check', '-'], {}, demo)).toMatchObject({ code: 0 });
    expect(await run(['check', '-'], {}, '')).toEqual({
      code: 1,
      stdout:
        '-:1:1 error (file): got nothing, expected a map with plantFileVersion, site, display, areas, grades, sources, limits\n-: 1 problem, no warnings\n',
      stderr: '',
    });
  });

  it('gives the same to machines with --json', async () => {
    const { code, stdout } = await run(['check', '--json', 'p.yaml'], { 'p.yaml': 'a:\n\tb: 1\n' });
    expect(code).toBe(1);
    expect(JSON.parse(stdout)).toEqual({
      file: 'p.yaml',
      ok: false,
      problems: [
        {
          severity: 'error',
          line: 2,
          column: 1,
          path: '',
          value: '"b: 1"',
          expected: 'spaces for indentation instead of tabs',
        },
      ],
      warnings: [],
    });
    expect(JSON.parse((await run(['check', 'p.yaml', '--json'], { 'p.yaml': demo })).stdout)).toMatchObject({
      ok: true,
      problems: [],
    });
  });

  it('prints the JSON Schema with --schema', async () => {
    const { code, stdout } = await run(['check', '--schema']);
    expect(code).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
      type: 'object',
    });
  });

  it.each([
    ['no file', ['check'], 'one file is needed, got 0'],
    ['two files', ['check', 'a', 'b'], 'one file is needed, got 2'],
    ['an option that does not exist', ['check', '--strict', 'a'], "Unknown option '--strict'"],
    ['a schema and a file', ['check', '--schema', 'a'], '--schema stands alone'],
  ])('exits with 2 and a usage line for %s', async (_, words, why) => {
    const { code, stdout, stderr } = await run(words);
    expect([code, stdout]).toEqual([2, '']);
    expect(stderr).toContain(why);
    expect(stderr).toMatch(/\nusage: check \[--json\] FILE/);
  });
});

describe('the command line', () => {
  it('exits with 2 and the list of commands where no command is named or known', async () => {
    expect(await run([])).toMatchObject({
      code: 2,
      stdout: '',
      stderr: expect.stringMatching(/^a command is needed\nusage: .*\n {2}check /),
    });
    expect(await run(['chek'])).toMatchObject({
      code: 2,
      stdout: '',
      stderr: expect.stringMatching(/^no command "chek"\nusage: /),
    });
  });

  it('lists the commands on request', async () => {
    expect(await run(['help'])).toMatchObject({
      code: 0,
      stdout: expect.stringContaining('check'),
      stderr: '',
    });
    expect((await run(['--help'])).stdout).toBe((await run(['help'])).stdout);
  });

  it('says in one line which file cannot be read, and exits with 2', async () => {
    expect(await run(['check', 'gone.yaml'])).toEqual({
      code: 2,
      stdout: '',
      stderr: 'gone.yaml: no such file\n',
    });
  });

  it('lets a fault of the program itself through', async () => {
    const faulty = { name: 'faulty', summary: '', run: () => Promise.reject(new TypeError('bug')) };
    const io: CommandIo = {
      stdin: () => Promise.resolve(''),
      stdout: () => undefined,
      stderr: () => undefined,
      readFile: () => Promise.resolve(''),
    };
    await expect(runCommand([faulty], ['faulty'], io)).rejects.toThrow('bug');
  });
});
