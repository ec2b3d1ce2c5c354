import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Message } from '../instruments/message.js';
import { peopleSchema } from '../people/people-schema.js';
import { readScenario } from '../scenario/read-scenario.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { openScenario } from './open-scenario.js';
import { readOptions } from './options.js';
import { setForwardMs } from './pace.js';
import { publish } from './publish.js';
import { type FilesWritten, writeFiles } from './write-files.js';

function small(): Scenario {
  const reading = readScenario(readFileSync(new URL('../fixtures/small.yaml', import.meta.url), 'utf8'));
  if (!reading.ok) throw new Error('the small scenario is wrong');
  return reading.scenario;
}

describe('the command line', () => {
  it('is read', () => {
    const reading = readOptions([
      '--scenario',
      'a.yaml',
      '--seed',
      '7',
      '--speed-up',
      '2.5',
      '--mqtt',
      'mqtt://127.0.0.1:1883',
    ]);
    expect(reading).toEqual({
      ok: true,
      options: {
        scenario: 'a.yaml',
        seed: 7,
        speedUp: 2.5,
        startMs: undefined,
        durationS: Infinity,
        target: { kind: 'mqtt', url: 'mqtt://127.0.0.1:1883' },
      },
    });
  });

  it.each([
    [['--colour', 'red', '--schema'], /^Unknown option '--colour'/],
    [['--schema', '--family-schema'], /at most one of --mqtt URL, --out DIR, --schema and --family-schema/],
    [['--mqtt', 'mqtt://h', '--out', 'x'], /at most one of/],
    [['--out', 'x'], /^--duration: needed with --out/],
    [['--out', 'x', '--duration', '-3'], /^--duration: "-3" is not seconds above 0|argument is ambiguous/],
    [['--out', 'x', '--duration', 'soon'], /^--duration: "soon" is not seconds above 0/],
    [['--mqtt', 'http://h'], /^--mqtt: "http:\/\/h" is not a broker/],
    [['--mqtt', 'mqtt://h', '--seed', '1.5'], /^--seed: "1.5" is not a whole number/],
    [['--mqtt', 'mqtt://h', '--speed-up', '0'], /^--speed-up: "0" is not a number above 0/],
    [['--mqtt', 'mqtt://h', '--start', 'yesterday'], /^--start: "yesterday" is not an RFC 3339 instant/],
    [['--schema', 'left-over'], /Unexpected argument 'left-over'/],
  ])('%j is refused with one line', (args, text) => {
    const reading = readOptions(args);
    expect(reading.ok).toBe(false);
    expect(!reading.ok && reading.text).toMatch(text);
    expect(!reading.ok && reading.text).not.toContain('\n');
  });

  it('publishes to the usual broker when nothing else is asked for', () => {
    const reading = readOptions(['--scenario', 'film-wander.yaml', '--seed', '7', '--speed-up', '50']);
    expect(reading.ok && reading.options.target).toEqual({ kind: 'mqtt', url: 'mqtt://127.0.0.1:1883' });
  });

  it('finds a scenario that comes with the simulator by its name, and says when there is none', () => {
    expect(openScenario('demo.yaml').ok).toBe(true);
    const none = openScenario('no-such.yaml');
    expect(!none.ok && none.lines[0]).toMatch(/^--scenario: no file "no-such.yaml"/);
  });
});

describe('a paced run', () => {
  it('catches up after a short delay, and goes on from now after a long one', () => {
    const pace = { beganMs: 1000, periodMs: 200 };
    expect(setForwardMs(pace, 0, 1200)).toBe(0);
    expect(setForwardMs(pace, 0, 6000)).toBe(0);
    expect(setForwardMs(pace, 9, 3_603_000)).toBe(3_600_000);
  });

  it('publishes in its own time: set end first and retained, stamps at the clock, and ends after its duration', async () => {
    const sent: (Message & { readonly wallMs: number })[] = [];
    const broker = {
      send: (message: Message) => void sent.push({ ...message, wallMs: Date.now() }),
      unacknowledged: () => 0,
    };
    const run = { scenario: small(), seed: 1, startMs: undefined, durationS: 1, speedUp: 1 };
    await publish(run, broker, new AbortController().signal);
    expect(sent[0]).toMatchObject({ topic: 'demo/lakeside/w/s/set-end', payload: '120', retain: true });
    const drives = sent.filter(
      (message) => message.topic.endsWith('/drive') && !message.topic.includes('/nip/'),
    );
    expect(drives).toHaveLength(5);
    for (const { payload, wallMs } of drives) {
      const { t } = JSON.parse(payload) as { readonly t: number };
      expect(wallMs - t).toBeGreaterThanOrEqual(-1);
      expect(wallMs - t).toBeLessThan(500); // a busy machine wakes late
    }
  });

  it('stops at once when told to', async () => {
    const stop = new AbortController();
    const run = { scenario: small(), seed: 1, startMs: undefined, durationS: Infinity, speedUp: 1 };
    const running = publish(run, { send: () => undefined, unacknowledged: () => 0 }, stop.signal);
    setTimeout(() => stop.abort(), 50);
    const began = Date.now();
    await running;
    expect(Date.now() - began).toBeLessThan(1000);
  });

  it('waits for a broker that does not keep up', async () => {
    let waiting = 6000;
    let sentWhileFull = 0;
    const stop = new AbortController();
    const broker = {
      send: () => void (sentWhileFull += waiting > 5000 ? 1 : 0),
      unacknowledged: () => waiting,
    };
    const run = { scenario: small(), seed: 1, startMs: 0, durationS: 2, speedUp: 1000 };
    setTimeout(() => (waiting = 0), 100);
    await publish(run, broker, stop.signal);
    expect(sentWhileFull).toBe(1); // the set end, before the first period
  });
});

describe('files of a run', () => {
  const withPeople = (): Scenario => ({
    ...small(),
    people: peopleSchema.parse({ grader: { bothEndsChance: 1, oneEndChance: 0 }, remeasured: {} }),
  });

  function written<T>(durationS: number, look: (folder: string, counts: FilesWritten) => T): T {
    const folder = mkdtempSync(join(tmpdir(), 'simulator-'));
    try {
      return look(folder, writeFiles({ scenario: withPeople(), seed: 1, startMs: 0, durationS }, folder));
    } finally {
      rmSync(folder, { recursive: true });
    }
  }

  const linesOf = (folder: string, name: string): readonly string[] =>
    readFileSync(join(folder, name), 'utf8').trimEnd().split('\n');

  it('are telemetry, truth and people as JSON lines, the same bytes each time', () => {
    written(35, (a, counts) => {
      written(35, (b) => {
        for (const name of ['telemetry.jsonl', 'truth.jsonl', 'people.jsonl', 'w-s.csv', 'rolls/w-s-1.svg'])
          expect(readFileSync(join(b, name), 'utf8')).toBe(readFileSync(join(a, name), 'utf8'));
      });
      const parsed = (name: string) =>
        linesOf(a, name).map((line) => JSON.parse(line) as Record<string, unknown>);
      expect(parsed('truth.jsonl')).toHaveLength(counts.truth);
      expect(parsed('truth.jsonl')[0]).toMatchObject({ kind: 'run', scenario: 'Small', seed: 1 });
      expect(parsed('telemetry.jsonl')).toHaveLength(counts.telemetry);
      expect(Object.keys(parsed('telemetry.jsonl')[0]!)).toEqual(['atMs', 'topic', 'payload', 'retain']);
      expect(parsed('people.jsonl').map(({ kind }) => kind)).toEqual([
        'edge-rating',
        'edge-rating',
        'diameter-remeasured',
      ]);
      expect(counts).toMatchObject({ people: 3, rolls: 1 });
    });
  });

  it('hold a table for import: a row a time stamp, with what drive and both nip ends said then', () => {
    written(4, (folder) => {
      const [heading, ...rows] = linesOf(folder, 'w-s.csv');
      expect(heading).toBe(
        'time,speed (m/min),diameter (mm),tension (N),winding (1: yes),grade,' +
          'nip load tending (kN/m),nip peak acceleration tending (m/s2),nip load swing tending (%),' +
          'nip load drive (kN/m),nip peak acceleration drive (m/s2),nip load swing drive (%)',
      );
      expect(rows).toHaveLength(20);
      expect(rows[0]).toMatch(/^1970-01-01T00:00:00\.200Z,[\d.]+,[\d.]+,[\d.]+,1,Film,[\d.-]+,/);
      for (const row of rows.slice(0, 19)) expect(row.split(',').every((cell) => cell !== '')).toBe(true);
      const stamps = rows.map((row) => row.split(',')[0]!);
      expect([...stamps].sort()).toEqual(stamps);
    });
  });

  it('hold a picture of every finished roll', () => {
    written(35, (folder) => {
      const svg = readFileSync(join(folder, 'rolls', 'w-s-1.svg'), 'utf8');
      expect(svg).toContain('w s, roll 1 (simulated)');
      expect(svg).toContain('class="spread"');
    });
  });
});
