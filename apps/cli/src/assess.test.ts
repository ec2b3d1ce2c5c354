import { describe, expect, it } from 'vitest';
import { assess } from './assess.js';
import type { CommandIo } from './command.js';
import { runCommand } from './run-command.js';

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
  const code = await runCommand([assess], words, io);
  return { code, ...out };
}

/** Coated paper on a winder with a covered roller: illustrative values. */
const point = {
  web: { widthM: 1, caliperM: 50e-6, combinedRoughnessM: 1.5e-6, permeanceMPerPaS: 0 },
  nip: { rollerDiameterM: 0.5, coverModulusPa: 30e6, coverPoissonRatio: 0.5, loadNPerM: 3000 },
  air: { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 },
  running: { speedMPerS: 30, rollDiameterM: 1, tensionNPerM: 350 },
};
const text = JSON.stringify(point);
const porous = JSON.stringify({ ...point, web: { ...point.web, permeanceMPerPaS: 3e-6 } });

describe('assess', () => {
  it('answers one operating point with plain numbers', async () => {
    const { code, stdout, stderr } = await run(['assess', 'point.json'], {
      'point.json': JSON.stringify(point, null, 2),
    });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const answer = JSON.parse(stdout);
    // Own direct solution: critical speed 33.07 m/s, margin 9 %, kept film 4.231 um; own arithmetic: foil film 226.7 um (without small corrections).
    expect(answer).toMatchObject({
      airFilm: {
        withoutNipM: expect.closeTo(226e-6, 6),
        nipIncompressibleM: expect.closeTo(1.63e-6, 8),
        keptByNipM: expect.closeTo(4.23e-6, 7),
        woundInM: expect.closeTo(4.2e-6, 7),
      },
      filmRatio: expect.closeTo(0.936, 2),
      tractionRatio: expect.closeTo(0.1, 1),
      filmCriticalSpeedMPerS: expect.closeTo(33, 0),
      criticalSpeedMPerS: expect.closeTo(33, 0),
      marginRatio: expect.closeTo(0.09, 2),
      floatingWraps: 0,
      floatTimeS: 0,
      ventingTimeS: 0,
      applies: true,
      because: { code: 'nip-film' },
      uncertainty: {
        marginRatio: expect.closeTo(0.315, 2),
        calibrated: false,
        measureFirst: { code: 'rate-rolls-first' },
      },
    });
    expect(answer).not.toHaveProperty('notKnown');
    expect(answer).not.toHaveProperty('line');
  });

  it('says what is not known and why instead of giving a number', async () => {
    const { code, stdout } = await run(['assess', '-'], {}, porous);
    expect(code).toBe(0);
    const answer = JSON.parse(stdout);
    expect(answer).not.toHaveProperty('criticalSpeedMPerS');
    expect(answer).not.toHaveProperty('marginRatio');
    expect(answer.applies).toBe(false);
    expect(answer.because).toMatchObject({ code: 'porous', params: { factor: expect.closeTo(52, 0) } });
    expect(answer.notKnown.marginRatio.code).toBe('no-critical-speed');
    expect(stdout).not.toContain('null');
  });

  it('answers one line a point, in order, each with its line', async () => {
    const { code, stdout } = await run(['assess', 'many.jsonl'], { 'many.jsonl': `${text}\n\n${porous}\n` });
    expect(code).toBe(0);
    const answers = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(answers.map(({ line, applies }) => ({ line, applies }))).toEqual([
      { line: 1, applies: true },
      { line: 3, applies: false },
    ]);
  });

  it('reports a line that is wrong, answers the others and exits with 1', async () => {
    const wrong = JSON.stringify({ ...point, web: { ...point.web, widthM: -1, caliper: 3 } });
    const { code, stdout, stderr } = await run(['assess', 'many.jsonl'], {
      'many.jsonl': `${text}\n${wrong}\n{bad\n${porous}\n`,
    });
    expect(code).toBe(1);
    expect(
      stdout
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line).line),
    ).toEqual([1, 4]);
    expect(stderr.split('\n')).toEqual([
      'many.jsonl:2: web.widthM: got -1, 0.002 to 15 m is expected',
      'many.jsonl:2: web.caliper: got 3, a known key is expected; the nearest is caliperM',
      expect.stringMatching(/^many\.jsonl:3: not JSON: /),
      '',
    ]);
  });

  it('names what is missing or of the wrong kind, with the sensible range', async () => {
    const { web, running } = point;
    const withoutNip = { web, running: { ...running, speedMPerS: '30' } };
    const { code, stderr } = await run(['assess', 'p.json'], {
      'p.json': JSON.stringify({ ...withoutNip, air: { temperatureC: 23 } }),
    });
    expect(code).toBe(1);
    expect(stderr.split('\n')).toEqual([
      'p.json: nip: missing, an object is expected',
      'p.json: air.pressurePa: missing, a number is expected, 10000 to 1e7 Pa',
      'p.json: running.speedMPerS: got "30", a number is expected, 0 to 100 m/s',
      '',
    ]);
  });

  it('takes an operating point without a nip, and leaves the stages of the nip out', async () => {
    const { stdout } = await run(['assess', '-'], {}, JSON.stringify({ ...point, nip: null }));
    expect(Object.keys(JSON.parse(stdout).airFilm)).toEqual(['withoutNipM', 'woundInM']);
  });

  it('takes uncertainties, a calibration and the allowed wraps', async () => {
    const question = {
      ...point,
      floatingWrapsAllowed: 5,
      boundaryFactor: 1.2,
      speedLimitMPerS: 40,
      uncertainties: { nipLoadRatio: 0.05 },
      calibration: { criticalSpeedUncertaintyRatio: 0.03 },
    };
    const { stdout } = await run(['assess', '-'], {}, JSON.stringify(question));
    const { uncertainty, boundaryFilmM } = JSON.parse(stdout);
    expect(boundaryFilmM).toBeCloseTo(5.4e-6, 12);
    expect(uncertainty.calibrated).toBe(true);
    expect(uncertainty.contributions.map(({ source }: { source: string }) => source)).toEqual([
      'model',
      'nipLoad',
    ]);
  });

  it('ranks remedies for what is asked, and says what disturbance the wraps withstand', async () => {
    const question = {
      ...point,
      web: { ...point.web, frictionRatio: 0.4, grammageKgPerM2: 0.055 },
      remedyFor: {
        marginRatio: 0.15,
        limits: { nipLoadNPerM: { min: 500, max: 6000 } },
        lengthLeftM: 20_000,
      },
    };
    const { stdout } = await run(['assess', '-'], {}, JSON.stringify(question));
    const { remedies, withstands } = JSON.parse(stdout);
    expect(remedies).toMatchObject([
      { kind: 'change', setPoint: 'speed', from: 30, timeCostS: expect.any(Number) },
      { kind: 'change', setPoint: 'nipLoad', from: 3000, sideEffects: [{ code: 'tighter-and-harder' }] },
      { kind: 'cannot-help', setPoint: 'tension', because: { code: 'tension-under-nip' } },
    ]);
    expect(withstands).toEqual({
      skewRad: expect.any(Number),
      coneRatio: expect.any(Number),
      lateralAccelerationMPerS2: expect.any(Number),
    });
  });

  it('speaks of the share that a nip does not hold', async () => {
    const question = JSON.stringify({ ...point, nipShares: { contactLostRatio: 0.03 } });
    const { ineffectiveNip } = JSON.parse((await run(['assess', '-'], {}, question)).stdout);
    expect(ineffectiveNip).toMatchObject({
      lengthShareRatio: 0.03,
      widthShareRatio: 1,
      criticalSpeedMPerS: expect.any(Number),
    });
    const table = await run(['assess', '--format', 'table', '-'], {}, question);
    expect(table.stdout).toContain('the nip leaves the roll at both ends for 3 % of the time');
  });

  it('trades one set point for another at the same margin, by option or in the request', async () => {
    const byOption = await run(['assess', '--exchange', 'speed=32:nipLoad', '-'], {}, text);
    const { exchange } = JSON.parse(byOption.stdout);
    // Own direct solutions of the gas nip: the load has to rise by 34 % from 30 to 32 m/s.
    expect(exchange).toMatchObject({
      kind: 'exchange',
      changed: 'speed',
      from: 30,
      to: 32,
      compensatedBy: 'nipLoad',
      compensationFrom: 3000,
      compensationRatio: expect.closeTo(0.344, 2),
    });
    const exchangeFor = { changed: 'speed', to: 32, compensatedBy: 'nipLoad' };
    const inRequest = await run(['assess', '-'], {}, JSON.stringify({ ...point, exchangeFor }));
    expect(JSON.parse(inRequest.stdout).exchange).toEqual(exchange);
    const table = await run(['assess', '--format', 'table', '--exchange', 'speed=32:nipLoad', '-'], {}, text);
    expect(table.stdout).toMatch(
      /a speed of 1920 m\/min instead of 1800 m\/min keeps its margin with a nip load of 4\.03 kN\/m/,
    );
  });

  it('says why a set point cannot be traded', async () => {
    const { stdout } = await run(['assess', '--exchange', 'speed=32:tension', '-'], {}, text);
    expect(JSON.parse(stdout).exchange).toMatchObject({
      kind: 'cannot-help',
      because: { code: 'tension-under-nip' },
    });
  });

  it.each([
    [
      'speed=32',
      '--exchange: QUANTITY=VALUE:QUANTITY in SI units is expected, as in speed=32:nipLoad, got "speed=32"',
      2,
    ],
    [
      'pace=32:nipLoad',
      'p: exchangeFor.changed: got "pace", one of speed, nipLoad, tension, diameter, nipRollerDiameter, combinedRoughness is expected',
      1,
    ],
    [
      'speed=32:speed',
      'p: exchangeFor.compensatedBy: got "speed", another quantity than changed is expected',
      1,
    ],
    ['speed=3200:nipLoad', 'p: to: 0.001 to 100 m/s is needed, got 3200 m/s', 1],
  ])('refuses to trade %s', async (asked, message, exitCode) => {
    const { code, stderr } = await run(['assess', '--exchange', asked, 'p'], { p: text });
    expect(code).toBe(exitCode);
    expect(stderr).toContain(message);
  });

  it('makes a table for people', async () => {
    const { stdout } = await run(['assess', '--format', 'table', '-'], {}, `${text}\n${porous}\n`);
    const [head, first, second] = stdout.split('\n');
    expect(head).toMatch(/^line +film um +film\/3sigma +Vcrit m\/s +\+- +margin % +\+- +floating wraps$/);
    expect(first).toMatch(
      /^ +1 +4\.2\d +0\.9\d +3[23]\.\d\d +11\.\d\d +[89]\.\d +31\.\d +0\.0 {2}the nip lets in a film of 4\.2\d µm.*; a speed of 17\d\d m\/min instead of 1800 m\/min leaves a margin of 10 %$/,
    );
    expect(second).toMatch(
      / - +- +- +- +0\.0 {2}no air problem at any speed up to 6000 m\/min: in one turn the porous web/,
    );
  });

  it.each([
    [['assess'], 'one file is needed, got 0'],
    [['assess', 'a', 'b'], 'one file is needed, got 2'],
    [['assess', '--format', 'xml', 'a'], '--format: json or table is expected, got "xml"'],
    [['assess', '--depth', 'a'], "Unknown option '--depth'"],
  ])('called as %j says what is wrong and exits with 2', async (words, message) => {
    const { code, stderr } = await run(words);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stderr).toContain('usage: assess');
  });

  it('says when a file cannot be read or holds nothing', async () => {
    expect(await run(['assess', 'gone.json'])).toEqual({
      code: 2,
      stdout: '',
      stderr: 'gone.json: no such file\n',
    });
    expect(await run(['assess', '-'], {}, '\n')).toEqual({
      code: 1,
      stdout: '',
      stderr: '-: no operating point\n',
    });
  });

  it('takes one operating point with a slip in it as one, not line by line', async () => {
    const broken = JSON.stringify(point, null, 2).replace('"widthM": 1,', '"widthM": 1');
    const { code, stderr } = await run(['assess', 'p.json'], { 'p.json': broken });
    expect(code).toBe(1);
    expect(stderr).toMatch(/^p\.json: not JSON: .*\n$/);
  });
});
