import {
  type Effect,
  foldRow,
  type MonitorDependencies,
  restoreMonitor,
  savedStates,
  type StationAssessment,
} from '@edge-margin/monitoring';
import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import fc from 'fast-check';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/**
 * Each folder beside this file is a replay: plant.yaml, telemetry.jsonl (topic, payload, arrival) and expected.jsonl, which `REGEN=1` writes anew.
 * Transitions must be the same to the letter; values may differ by a part in a million, for libm differs between processors.
 */
const here = fileURLToPath(new URL('.', import.meta.url));
const folders = readdirSync(here, { withFileTypes: true }).filter((entry) => entry.isDirectory());
const decoder = new TextDecoder('utf-8', { fatal: true });
const dependencies: MonitorDependencies = { textDecoder: (bytes) => decoder.decode(bytes) };
const valueTolerance = 1e-6;
const tickAfterMs = 40;

interface Line {
  readonly atMs: number;
  readonly topic: string;
  readonly payload: string;
}

const linesOf = <T>(folder: string, file: string): T[] =>
  readFileSync(join(here, folder, file), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as T);

/** The rows that the shell would have journaled: the plant file, the link, the messages as they came, and a tick a second. */
function rowsOf(folder: string, messages: readonly Line[]): JournalRow[] {
  const plantFile = readFileSync(join(here, folder, 'plant.yaml'), 'utf8');
  const startMs = messages[0]?.atMs ?? 0;
  const rows: NewJournalRow[] = [
    { kind: 'config', arrivedAtMs: startMs, plantFile, revision: 'golden' },
    { kind: 'link', arrivedAtMs: startMs, link: 'broker', state: 'up', sessionPresent: true },
  ];
  let tickMs = startMs + 1000;
  for (const { atMs, topic, payload } of messages) {
    for (; tickMs <= atMs; tickMs += 1000) rows.push({ kind: 'tick', arrivedAtMs: tickMs + tickAfterMs });
    rows.push({
      kind: 'message',
      arrivedAtMs: atMs,
      topic,
      payload: new TextEncoder().encode(payload),
      qos: 1,
      retain: false,
      dup: false,
    });
  }
  return rows.map((row, index) => ({ ...row, position: index + 1 }));
}

function foldAll(rows: readonly JournalRow[]): {
  readonly effects: readonly Effect[];
  readonly states: string;
} {
  let monitor = restoreMonitor(new Map(), dependencies);
  const effects: Effect[] = [];
  const touched = new Set<string>();
  for (const row of rows) {
    const fold = foldRow(monitor, row, dependencies);
    monitor = fold.monitor;
    effects.push(...fold.effects);
    for (const key of fold.touched) touched.add(key);
  }
  return { effects, states: JSON.stringify(savedStates(monitor, [...touched].sort())) };
}

const transitionsOf = (effects: readonly Effect[]): string[] =>
  effects.flatMap((effect) =>
    effect.kind === 'alarm-transition'
      ? [`${effect.id} ${effect.transition.from}->${effect.transition.to}`]
      : [],
  );

/** What is held: every transition, and each fifth second the figures that people act on. */
function summary(effects: readonly Effect[]): object[] {
  return effects.flatMap((effect): object[] => {
    if (effect.kind === 'alarm-transition')
      return [{ transition: effect.id, from: effect.transition.from, to: effect.transition.to }];
    if (effect.kind === 'roll') return [{ roll: effect.id }];
    if (effect.kind !== 'assessment' || effect.assessment.atMs % 5000 !== 0) return [];
    return [figuresOf(effect.assessment)];
  });
}

function figuresOf(assessment: StationAssessment): object {
  const value = (quantity: StationAssessment['risk']['now']): number | string =>
    quantity.kind === 'known' ? quantity.value : quantity.because.code;
  const { air, forecast, nip, remedy, risk, roll, state } = assessment;
  return {
    at: `${assessment.winderId}/${assessment.stationId}@${assessment.atMs}`,
    state: state.word,
    diameterM: roll === null ? null : value(roll.diameterM),
    marginRatio: value(air.marginRatio),
    nipInHandRatio: value(nip.inHandRatio),
    risk: value(risk.now),
    earliestM: forecast.boundary?.earliest.diameterM ?? null,
    remedy: remedy === null ? null : remedy.to,
  };
}

describe.each(folders.map(({ name }) => name))('the replay %s', (folder) => {
  const messages = linesOf<Line>(folder, 'telemetry.jsonl');
  const rows = rowsOf(folder, messages);
  const folded = foldAll(rows);

  it('gives what is written down: transitions to the letter, values to a part in a million', () => {
    const got = JSON.parse(JSON.stringify(summary(folded.effects))) as object[];
    const file = join(here, folder, 'expected.jsonl');
    if (process.env['REGEN'] === '1')
      writeFileSync(file, `${got.map((line) => JSON.stringify(line)).join('\n')}\n`);
    const expected = linesOf<object>(folder, 'expected.jsonl');
    expect(got.length).toBe(expected.length);
    got.forEach((line, index) => {
      for (const [key, value] of Object.entries(expected[index] ?? {})) {
        const have = (line as Record<string, unknown>)[key];
        if (typeof value === 'number')
          expect(Math.abs(Number(have) - value), `${index} ${key}`).toBeLessThanOrEqual(
            valueTolerance * Math.max(1, Math.abs(value)),
          );
        else expect(have, `${index} ${key}`).toEqual(value);
      }
    });
  });

  it('is bit-equal when it is folded again, and when it is stopped and restored between any two rows', () => {
    expect(foldAll(rows)).toEqual(folded);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: rows.length - 1 }), (cut) => {
        let monitor = restoreMonitor(new Map(), dependencies);
        const touched = new Set<string>();
        const effects: Effect[] = [];
        rows.forEach((row, index) => {
          if (index === cut)
            monitor = restoreMonitor(
              new Map(savedStates(monitor, touched).map(({ stationKey, json }) => [stationKey, json])),
              dependencies,
            );
          const fold = foldRow(monitor, row, dependencies);
          monitor = fold.monitor;
          effects.push(...fold.effects);
          for (const key of fold.touched) touched.add(key);
        });
        expect(JSON.stringify(savedStates(monitor, [...touched].sort()))).toBe(folded.states);
        expect(transitionsOf(effects)).toEqual(transitionsOf(folded.effects));
      }),
      { numRuns: 8 },
    );
  });

  it('gives the same transitions when messages are shuffled by less than the lateness allowance', () => {
    fc.assert(
      fc.property(fc.integer(), (seed) => {
        const random = generator(seed);
        const delayed = messages.map((line) => ({ ...line, atMs: line.atMs + Math.floor(random() * 450) }));
        const shuffled = delayed.sort((a, b) => a.atMs - b.atMs);
        expect(transitionsOf(foldAll(rowsOf(folder, shuffled)).effects)).toEqual(
          transitionsOf(folded.effects),
        );
      }),
      { numRuns: 6 },
    );
  });

  it('keeps the state of a station below 16 kB', () => {
    let monitor = restoreMonitor(new Map(), dependencies);
    let largest = 0;
    rows.forEach((row, index) => {
      const fold = foldRow(monitor, row, dependencies);
      monitor = fold.monitor;
      if (index % 50 === 0)
        for (const { json } of savedStates(
          monitor,
          fold.touched.filter((key) => !key.startsWith('#')),
        ))
          largest = Math.max(largest, json.length);
    });
    expect(largest).toBeGreaterThan(500);
    expect(largest).toBeLessThan(16_000);
  });

  it('has effects with ids of their own, each once', () => {
    const ids = folded.effects.flatMap((effect) => ('id' in effect ? [effect.id] : []));
    expect(new Set(ids).size).toBe(ids.length);
  });
});

/** A small generator with a state of 32 bits (mulberry32, public domain, from memory). */
function generator(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
