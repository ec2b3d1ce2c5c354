import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { cruise, type ICruiseResult, type IForbiddenRuleType } from 'dependency-cruiser';
import { beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));

interface Room {
  readonly path: string;
  readonly name: string;
  readonly tier: 'pure' | 'node' | 'browser';
  /** Names of this project's packages that the room says it uses. */
  readonly uses: readonly string[];
  readonly outside: readonly string[];
}

const rooms: readonly Room[] = ['libs', 'apps'].flatMap((floor) =>
  readdirSync(join(root, floor)).map((folder): Room => {
    const manifest = JSON.parse(readFileSync(join(root, floor, folder, 'package.json'), 'utf8'));
    const names = Object.keys(manifest.dependencies ?? {});
    return {
      path: `${floor}/${folder}`,
      name: manifest.name,
      tier: manifest.edgeMargin.tier,
      uses: names.filter((name) => name.startsWith('@edge-margin/')),
      outside: names.filter((name) => !name.startsWith('@edge-margin/')),
    };
  }),
);
const roomOf = (name: string): Room => {
  const room = rooms.find((candidate) => candidate.name === name);
  if (room === undefined) throw new Error(`${name} is no room of this project`);
  return room;
};

/** A room may import itself, the rooms its package.json names, and nothing else of the project. */
const rules: IForbiddenRuleType[] = rooms.map((room) => ({
  name: `${room.path} imports only what its package.json names`,
  severity: 'error',
  from: { path: `^${room.path}/src/` },
  to: {
    path: '^(libs|apps|tests)/',
    pathNot: [`^${room.path}/`, ...room.uses.map((used) => `^${roomOf(used).path}/src/index\\.ts$`)],
  },
}));
rules.push({
  name: 'no circles',
  severity: 'error',
  from: { path: '^(libs|apps)/' },
  to: { circular: true },
});

describe('the dependency graph', () => {
  let result: ICruiseResult;
  beforeAll(async () => {
    const output = await cruise(['libs', 'apps'], {
      baseDir: root,
      exclude: { path: '(/dist/|\\.test\\.ts$|/node_modules/|vite\\.config)' },
      doNotFollow: { path: 'node_modules' },
      ruleSet: { forbidden: rules },
      validate: true,
      tsPreCompilationDeps: true,
      enhancedResolveOptions: {
        exportsFields: ['exports'],
        conditionNames: ['source', 'import', 'node', 'default'],
        extensions: ['.ts', '.js', '.mjs', '.json'],
      },
    });
    result = output.output as ICruiseResult;
  });

  it('is read whole: every room has modules in it', () => {
    const seen = result.modules.map((module) => module.source);
    for (const room of rooms)
      expect(seen.filter((path) => path.startsWith(`${room.path}/src/`)).length, room.path).toBeGreaterThan(
        0,
      );
  });

  it('follows the package.json files, without circles and without deep imports', () => {
    const broken = result.summary.violations.map(
      (violation) => `${violation.from} -> ${violation.to}: ${violation.rule.name}`,
    );
    expect(broken).toEqual([]);
  });

  it('sees an import between rooms (so that the rules above can fail)', () => {
    const monitoring = result.modules.filter((module) => module.source.startsWith('libs/monitoring/src/'));
    const targets = monitoring.flatMap((module) =>
      module.dependencies.map((dependency) => dependency.resolved),
    );
    expect(targets).toContain('libs/alarms/src/index.ts');
  });

  it('keeps apps apart and pure libs free of node libs', () => {
    for (const room of rooms) {
      for (const used of room.uses.map(roomOf)) {
        expect(used.path, `${room.path} uses ${used.path}`).toMatch(/^libs\//);
        if (room.tier !== 'node') expect(used.tier, `${room.path} uses ${used.path}`).toBe('pure');
      }
    }
  });

  it('lets the simulator know nothing but units', () => {
    expect(roomOf('@edge-margin/simulator').uses).toEqual(['@edge-margin/units']);
  });

  it('names the same rooms in package.json, tsconfig.json and each tsconfig', () => {
    const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    expect([...manifest.workspaces].sort()).toEqual(rooms.map((room) => room.path).sort());
    const top = JSON.parse(readFileSync(join(root, 'tsconfig.json'), 'utf8'));
    expect(top.references.map((reference: { path: string }) => reference.path).sort()).toEqual(
      rooms.map((room) => room.path).sort(),
    );
    for (const room of rooms) {
      const own = JSON.parse(readFileSync(join(root, room.path, 'tsconfig.json'), 'utf8'));
      const referenced = own.references
        .map((reference: { path: string }) => reference.path.replace('../../', ''))
        .sort();
      expect(referenced, room.path).toEqual(room.uses.map((used) => roomOf(used).path).sort());
    }
  });
});
