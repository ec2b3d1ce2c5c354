import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Message } from '../instruments/message.js';
import { readScenario } from '../scenario/read-scenario.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { openScenario } from './open-scenario.js';
import { readOptions } from './options.js';
import { setForwardMs } from './pace.js';
import { publish } from './publish.js';
import { writeFiles } from './write-files.js';

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
    [[], /exactly one of --mqtt URL, --out DIR and --schema/],
    [['--mqtt', 'mqtt://h', '--out', 'x'], /exactly one of/],
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
      expect(wallMs - t).toBeLessThan(150);
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

it('writes telemetry and truth as JSON lines, the same bytes each time', () => {
  const folder = mkdtempSync(join(tmpdir(), 'simulator-'));
  try {
    const run = { scenario: small(), seed: 1, startMs: 0, durationS: 4 };
    const count = writeFiles(run, join(folder, 'a'));
    writeFiles(run, join(folder, 'b'));
    for (const name of ['telemetry.jsonl', 'truth.jsonl'] as const) {
      const text = readFileSync(join(folder, 'a', name), 'utf8');
      expect(readFileSync(join(folder, 'b', name), 'utf8')).toBe(text);
      const lines = text
        .trimEnd()
        .split('\n')
        .map((line) => JSON.parse(line) as object);
      expect(lines).toHaveLength(name === 'truth.jsonl' ? count.truth : count.telemetry);
      expect(Object.keys(lines[0]!)).toEqual(
        name === 'truth.jsonl'
          ? ['kind', 'atMs', 'scenario', 'seed', 'filmBias']
          : ['atMs', 'topic', 'payload', 'retain'],
      );
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
});
