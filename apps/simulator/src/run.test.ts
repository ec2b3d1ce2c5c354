import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Happening, happenings } from './run.js';
import { readScenario } from './scenario/read-scenario.js';
import type { Scenario } from './scenario/scenario-schema.js';
import { openScenario } from './shell/open-scenario.js';
import { begin, type SimulationState, stationModels, step } from './simulation.js';
import type { BandTruth, RollTruth, StateTruth, TruthRecord } from './truth/truth-record.js';

const START_MS = Date.UTC(2026, 0, 5, 6);
const SMALL = readFileSync(new URL('./fixtures/small.yaml', import.meta.url), 'utf8');

function small(change: (text: string) => string = (text) => text): Scenario {
  const reading = readScenario(change(SMALL));
  if (!reading.ok) throw new Error(JSON.stringify(reading.problems));
  return reading.scenario;
}

function fixture(name: string): Scenario {
  const reading = readScenario(readFileSync(new URL(`./fixtures/${name}.yaml`, import.meta.url), 'utf8'));
  if (!reading.ok) throw new Error(JSON.stringify(reading.problems));
  return reading.scenario;
}

function named(name: string): Scenario {
  const opened = openScenario(name);
  if (!opened.ok) throw new Error(opened.lines.join('\n'));
  return opened.scenario;
}

function ran(scenario: Scenario, durationS: number, seed = 7): readonly Happening[] {
  return [...happenings({ scenario, seed, startMs: START_MS, durationS })];
}

function truthOf<Kind extends TruthRecord['kind']>(run: readonly Happening[], kind: Kind) {
  return run.flatMap((one) =>
    one.kind === 'truth' && one.truth.kind === kind ? [one.truth] : [],
  ) as Extract<TruthRecord, { kind: Kind }>[];
}

function messagesOf(run: readonly Happening[], topic: string) {
  return run.flatMap((one) =>
    one.kind === 'message' && one.topic === topic
      ? [{ atMs: one.atMs, ...(JSON.parse(one.payload) as Payload) }]
      : [],
  );
}

interface Payload {
  readonly t: number | string;
  readonly n?: number;
  readonly speed?: number;
  readonly diameter?: number;
  readonly tension?: number;
  readonly winding?: number;
  readonly grade?: string;
  readonly load?: number;
  readonly peakAcceleration?: number;
  readonly swing?: number;
}

function bytes(run: readonly Happening[]): string {
  return createHash('sha256')
    .update(run.map((one) => JSON.stringify(one)).join('\n'))
    .digest('hex');
}

describe('a run', () => {
  it('gives these very bytes, on every engine: a whole roll, its set change and the next one', () => {
    // written down once on Node 20.20; a change of the model changes it, a change of the engine must not
    expect(bytes(ran(small(), 45, 1))).toBe(
      '8d40caa2c1e1440c9fbd0ed60c06a9857c0b71d46cc666e5e29277d19dac9d93',
    );
  });

  it('gives these very bytes on every engine with every section of a line, slitter and nip at once', () => {
    // seen alike on Node 20.20, 22.23 and 24.21
    expect(bytes(ran(fixture('everything'), 60, 1))).toBe(
      '80d9388a7787e5051824e48bf91901ec0e2f4950369c694c42b75546846c4631',
    );
  });

  it('gives the same bytes for the same seed and others for another', () => {
    expect(bytes(ran(small(), 5, 3))).toBe(bytes(ran(small(), 5, 3)));
    expect(bytes(ran(small(), 5, 4))).not.toBe(bytes(ran(small(), 5, 3)));
  });

  it('goes on from a state that was stored as JSON exactly as if it had not been stopped', () => {
    const models = stationModels(small());
    const forward = (state: SimulationState, periods: number) => {
      const told: unknown[] = [];
      let now = state;
      for (let n = 0; n < periods; n += 1) {
        const next = step(models, now);
        told.push(next.messages, next.truth);
        now = next.state;
      }
      return { state: now, told };
    };
    const half = forward(begin(models, 1, START_MS), 77);
    const before = JSON.stringify(half.state);
    const whole = forward(half.state, 100);
    expect(JSON.stringify(half.state)).toBe(before); // a step changes nothing in the state it was given
    const resumed = forward(JSON.parse(before) as SimulationState, 100);
    expect(resumed.told).toEqual(whole.told);
  });

  it('one station more changes nothing in what the others say', () => {
    const station = SMALL.slice(SMALL.indexOf('      - id: s'));
    const alone = ran(small(), 5).filter((one) => one.kind === 'message');
    const both = ran(
      small((text) => `${text}${station.replace('id: s', 'id: other')}`),
      5,
    );
    const same = both.filter((one) => one.kind === 'message' && one.topic.includes('/w/s/'));
    expect(same).toEqual(alone);
  });

  it('tells messages in order of arrival, source stamps and numbers rising by one period and by one', () => {
    const run = ran(small(), 60);
    const arrivals = run.filter((one) => one.kind === 'message').map((one) => one.atMs);
    arrivals.forEach((atMs, i) => {
      if (i > 0) expect(atMs).toBeGreaterThanOrEqual(arrivals[i - 1]!);
    });
    messagesOf(run, 'demo/lakeside/w/s/drive').forEach(({ t, n, atMs }, i) => {
      expect(n).toBe(i);
      expect(t).toBe(START_MS + (i + 1) * 200);
      expect(atMs - (t as number)).toBeGreaterThanOrEqual(5);
      expect(atMs - (t as number)).toBeLessThan(35);
    });
    const nip = messagesOf(run, 'demo/lakeside/w/s/nip/drive');
    expect(nip[0]?.t).toBe('2026-01-05T06:00:00.200Z');
    expect(nip).toHaveLength(300);
  });

  it('takes at least 20 simulated seconds of 1 ms nip dynamics a second of one core', () => {
    ran(small(), 10);
    const before = process.cpuUsage();
    ran(small(), 60);
    const used = process.cpuUsage(before);
    const timesRealTime = 60 / ((used.user + used.system) / 1e6);
    process.stdout.write(`    simulated seconds a CPU second, one station: ${timesRealTime.toFixed(0)}\n`);
    expect(timesRealTime).toBeGreaterThan(20);
  });

  it('winds a paper roll of 20 000 wraps with scalar sensors in about two seconds of one core', () => {
    const paper = (durationS: number) => {
      const before = process.cpuUsage();
      let wraps = 0;
      for (const one of happenings({ scenario: fixture('paper'), seed: 1, startMs: START_MS, durationS }))
        if (one.kind === 'truth' && one.truth.kind === 'state') wraps = Math.max(wraps, one.truth.turns);
      const used = process.cpuUsage(before);
      return { wraps, seconds: (used.user + used.system) / 1e6 };
    };
    paper(60);
    const { wraps, seconds } = paper(900);
    const forRoll = (seconds * 20_000) / wraps;
    process.stdout.write(
      `    CPU seconds for 20 000 wraps, from ${wraps.toFixed(0)}: ${forRoll.toFixed(2)}\n`,
    );
    expect(wraps).toBeGreaterThan(8000);
    expect(forRoll).toBeLessThan(4); // twice what is asked for: machines differ
  });

  it('runs ten winders with 1 ms nip dynamics at real time in less than a quarter of a core', () => {
    const text = SMALL.slice(0, SMALL.indexOf('  - id: w'));
    const winder = SMALL.slice(SMALL.indexOf('  - id: w'));
    const ten = small(
      () => text + Array.from({ length: 10 }, (_, i) => winder.replace('id: w', `id: w${i}`)).join(''),
    );
    ran(ten, 5);
    const before = process.cpuUsage();
    ran(ten, 40);
    const used = process.cpuUsage(before);
    const share = (used.user + used.system) / 1e6 / 40;
    process.stdout.write(`    ten winders at real time: ${(share * 100).toFixed(1)} % of a core\n`);
    expect(share).toBeLessThan(0.25);
  });
});

describe('a growing roll', () => {
  const grownM = (layerM: number, lengthM: number) => Math.sqrt(0.01 + (4 * layerM * lengthM) / Math.PI);

  it('obeys D² = D0² + 4 h L/pi at every diameter, within 2e-4, though nothing in the run says so', () => {
    // 60 um at 10 000 m on a 0.1 m core: 0.879741 m, 6497.84 layers (own arithmetic, spiral sum agrees to 2e-9).
    // Films are made thinner than the peaks' reach, so that every buried gap holds the air between the peaks, 0.4 um at most,
    // squeezed to 2 MPa: the layer is known to 0.01 um.
    const scenario = small((text) =>
      text
        .replace('caliperM: 50e-6', 'caliperM: 60e-6')
        .replace('reachM: 1.6e-6', 'reachM: 0.4e-6')
        .replace('median: 1, spread: 0.2', 'median: 0.25, spread: 0')
        .replace('coreDiameterM: 0.10', 'coreDiameterM: 0.10\n        buriedPressurePa: 2e6')
        .replace('setEndDiameterM: 0.12', 'setEndDiameterM: 0.95')
        .replace('runSpeedMPerS: 5, accelerationMPerS2: 2', 'runSpeedMPerS: 30, accelerationMPerS2: 10')
        .replace('noise: { rms: 0.01, timeS: 1 } }', 'loadExponent: -0.5, atLoadNPerM: 1 }')
        .replace('order: 1, amplitudeM', 'frequencyHz: 9, amplitudeM')
        .replace(
          '{ at: { diameterM: 0.115 }, speedRatio: 0.6 }',
          '{ at: { diameterM: 0.5 }, speedRatio: 0.8 }',
        ),
    );
    const layerM = 60e-6 + 0.4e-6 / (1 + 2e6 / 101325);
    const states = truthOf(ran(scenario, 450), 'state').filter((s) => s.turns > 100);
    expect(Math.max(...states.map((s) => s.lengthM))).toBeGreaterThan(10_000);
    for (const { diameterM, lengthM, turns } of states) {
      const whole = diameterM + 2 * layerM * (turns - Math.floor(turns)); // with the part of a wrap that is under way
      const effectiveLayerM = (whole - 0.1) / 2 / turns;
      expect(Math.abs(whole / grownM(effectiveLayerM, lengthM) - 1)).toBeLessThan(2e-4);
      if (lengthM > 2000) expect(Math.abs(whole / grownM(layerM, lengthM) - 1)).toBeLessThan(2e-4);
    }
  });

  it('counts its rolls, starts each on the core, and ends each at the set end within 0.2 mm', () => {
    const rolls = truthOf(ran(small(), 130), 'roll');
    expect(rolls.map((roll) => roll.roll)).toEqual([1, 2, 3, 4, 5]);
    for (const roll of rolls) {
      expect(Math.abs(roll.diameterM - 0.12)).toBeLessThan(2e-4);
      expect(Math.abs(roll.lengthM / ((Math.PI * (0.12 ** 2 - 0.1 ** 2)) / 4 / 51e-6) - 1)).toBeLessThan(
        0.02,
      );
    }
  });

  it('stands, unloaded, for the set change, and shows it', () => {
    const standing = messagesOf(ran(small(), 60), 'demo/lakeside/w/s/drive').filter(
      (one) => one.winding === 0,
    );
    expect(standing.length).toBeGreaterThanOrEqual(29);
    expect(standing.every((one) => Math.abs(one.speed!) < 1.2)).toBe(true);
    const diameters = standing.slice(0, 30).map((one) => one.diameter!);
    expect(Math.max(...diameters)).toBeGreaterThan(119);
    expect(Math.min(...diameters)).toBeLessThan(101);
  });

  it('takes more air at more speed, less under more nip load, and many times more when the nip does not touch', () => {
    const filmAt = (from: string, to: string) => {
      const scenario = small((text) =>
        text
          .replace('spread: 0.2', 'spread: 0')
          .replace('noise: { rms: 0.01', 'noise: { rms: 0')
          .replace(from, to),
      );
      const states = truthOf(ran(scenario, 30), 'state');
      return states.reduce((best, s) =>
        Math.abs(s.diameterM - 0.11) < Math.abs(best.diameterM - 0.11) ? s : best,
      );
    };
    const base = filmAt('x', 'x').filmWithNipM;
    expect(filmAt('runSpeedMPerS: 5', 'runSpeedMPerS: 2.5').filmWithNipM / base).toBeLessThan(0.67);
    expect(filmAt('loadNPerM: 300', 'loadNPerM: 600').filmWithNipM / base).toBeGreaterThan(0.84);
    expect(filmAt('loadNPerM: 300', 'loadNPerM: 600').filmWithNipM / base).toBeLessThan(0.9);
    expect(filmAt('x', 'x').filmWithoutNipM / base).toBeGreaterThan(8);
  });
});

describe('the demo', () => {
  let run: readonly Happening[] = [];
  const of = <T extends StateTruth | BandTruth | RollTruth>(records: readonly T[], station: string) =>
    records.filter((one) => `${one.winder}/${one.station}` === station);
  beforeAll(() => {
    run = ran(named('demo.yaml'), 240);
  });

  it('plays the whole cycle at film-1/a within three minutes: clear, boundary passed, operator slows, clear again, next roll', () => {
    const [roll, ...more] = of(truthOf(run, 'roll'), 'film-1/a');
    const passed = roll!.boundary.lasting!;
    const states = of(truthOf(run, 'state'), 'film-1/a').filter((one) => one.roll === 1);
    const slowed = states.find((one) => one.diameterM > 0.2 && one.speedMPerS < 0.75 * 6)!;
    expect(passed.diameterM).toBeGreaterThan(0.19);
    expect(passed.diameterM).toBeLessThan(0.232);
    expect(slowed.atMs - passed.atMs).toBeGreaterThan(5_000);
    expect(roll!.atMs - roll!.startedAtMs).toBeGreaterThan(95_000);
    expect(roll!.atMs - roll!.startedAtMs).toBeLessThan(125_000);
    expect(states.filter((one) => one.atMs > slowed.atMs + 3_000).every((one) => one.held)).toBe(true);
    expect(more.length).toBe(1);
  });

  it('lays rough edges at film-1/a only where the wraps were free to move', () => {
    const bands = of(truthOf(run, 'band'), 'film-1/a').filter((one) => one.wraps > 20);
    const rms = (band: BandTruth) => Math.max(band.edgeRmsM.tending, band.edgeRmsM.drive);
    const free = bands.filter((one) => one.freeWraps > 0.6 * one.wraps).map(rms);
    const held = bands.filter((one) => one.freeWraps === 0).map(rms);
    expect(free.length).toBeGreaterThan(2);
    expect(held.length).toBeGreaterThan(8);
    expect(Math.min(...free)).toBeGreaterThan(3 * Math.max(...held));
  });

  it('keeps film-1/b clear', () => {
    const [roll] = of(truthOf(run, 'roll'), 'film-1/b');
    expect(roll).toMatchObject({ boundary: { first: null, lasting: null }, rough: false });
  });

  it('swings the rider of paper-1 hard at middle diameters, with moments without contact, and calms down', () => {
    const states = of(truthOf(run, 'state'), 'paper-1/main').filter(
      (one) => one.roll === 1 && one.speedMPerS > 19.5,
    );
    const hard = states.filter((one) => one.inertiaRatio.tending > 0.8);
    expect(hard.length).toBeGreaterThan(10);
    expect(hard.length).toBeLessThan(25);
    expect(hard.every((one) => one.diameterM > 0.4 && one.diameterM < 0.5)).toBe(true);
    const [roll] = of(truthOf(run, 'roll'), 'paper-1/main');
    expect(roll!.contactLost.totalS).toBeGreaterThan(0);
    expect(roll!.contactLost.totalS).toBeLessThan(0.5);
    expect(states.filter((one) => one.diameterM > 0.53).every((one) => one.inertiaRatio.tending < 0.35)).toBe(
      true,
    );
  });
});

describe('the sensor faults', () => {
  let run: readonly Happening[] = [];
  const atS = (t: number | string) => ((typeof t === 'number' ? t : Date.parse(t)) - START_MS) / 1000;
  beforeAll(() => {
    run = ran(named('sensor-faults.yaml'), 310);
  });

  it('stick, leave out and fall silent when the scenario says so, and only then', () => {
    const drive = messagesOf(run, 'demo/lakeside/film-2/a/drive');
    const during = (from: number, to: number) => drive.filter((one) => atS(one.t) >= from && atS(one.t) < to);
    expect(new Set(during(60.2, 80).map((one) => one.diameter)).size).toBe(1);
    expect(new Set(during(80, 100).map((one) => one.diameter)).size).toBeGreaterThan(50);
    expect(during(100, 110).every((one) => one.tension === undefined)).toBe(true);
    const absent = during(110, 130).filter((one) => one.tension === undefined);
    expect(absent.length).toBeLessThan(10); // 2 in 100 are left out at all times
    expect(during(130, 150)).toEqual([]);
    expect(during(150, 230).length).toBeGreaterThan(380);
  });

  it('tell a wrong unit, a wrong sign and a jump for as long as the scenario says', () => {
    const drive = messagesOf(run, 'demo/lakeside/film-2/a/drive');
    const during = (from: number, to: number) => drive.filter((one) => atS(one.t) >= from && atS(one.t) < to);
    expect(during(200, 220).every((one) => one.speed! > 300)).toBe(true);
    expect(during(220, 240).every((one) => one.speed! < 10)).toBe(true);
    expect(during(260, 280).every((one) => one.tension === undefined || one.tension < 0)).toBe(true);
    const [before] = during(299.5, 300);
    const [after] = during(300, 300.5);
    expect(after!.diameter! - before!.diameter!).toBeGreaterThan(3.5);
  });

  it('tell the swing by exception: seldom, but at least every five seconds', () => {
    const nip = messagesOf(run, 'demo/lakeside/film-2/a/nip/drive').filter((one) => atS(one.t) < 180);
    const told = nip.filter((one) => one.swing !== undefined).map((one) => atS(one.t));
    expect(told.length).toBeLessThan(nip.length / 2);
    told.slice(1).forEach((t, i) => expect(t - told[i]!).toBeLessThan(5.3));
  });

  it('lose about one message in a hundred and send about one twice', () => {
    const numbers = messagesOf(run, 'demo/lakeside/film-2/a/drive').map((one) => one.n!);
    const distinct = new Set(numbers).size;
    expect(1550 - 100 - distinct).toBeGreaterThan(0);
    expect(1550 - 100 - distinct).toBeLessThan(32);
    expect(numbers.length - distinct).toBeGreaterThan(0);
    expect(numbers.length - distinct).toBeLessThan(32);
  });

  it('stamp the nip five seconds ahead, deliver twenty seconds of it in one burst, saturate, and turn the sign round', () => {
    const nip = messagesOf(run, 'demo/lakeside/film-2/a/nip/tending');
    const early = nip.filter((one) => atS(one.t) < 180);
    expect(early.every((one) => atS(one.t) - (one.atMs - START_MS) / 1000 > 4.9)).toBe(true);
    const burst = nip.filter((one) => one.atMs >= START_MS + 200_000 && one.atMs < START_MS + 200_100);
    expect(burst.length).toBeGreaterThanOrEqual(100);
    expect(Math.max(...nip.map((one) => one.load!))).toBe(0.36);
    expect(nip.filter((one) => one.peakAcceleration! > 0.1)).toEqual([]);
  });
});
