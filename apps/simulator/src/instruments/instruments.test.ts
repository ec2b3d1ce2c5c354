import { describe, expect, it } from 'vitest';
import { seedStream } from '../random/seed-stream.js';
import { gatewaySchema, instrumentSchema } from '../scenario/instruments-schema.js';
import { type GatewayState, passOn, type Report } from './gateway.js';
import { type InstrumentState, sample } from './instrument.js';
import { topicFor } from './message.js';

/** What an instrument shows for a true value that goes with time, one sample every 0.2 s. */
function shown(
  faults: object,
  truth: (tS: number) => number,
  samples: number,
): readonly (number | undefined)[] {
  const instrument = instrumentSchema.parse(faults);
  let state: InstrumentState = { lagged: null, shown: null, stream: seedStream(3, 'instrument') };
  return Array.from({ length: samples }, (_, n) => {
    const atS = n * 0.2;
    const taken = sample(instrument, state, truth(atS), { atS, periodS: 0.2 });
    state = taken.state;
    return taken.value;
  });
}

describe('an instrument', () => {
  it('without faults shows the truth', () => {
    expect(shown({}, (t) => 5 * t, 4)).toEqual([0, 1, 2, 3]);
  });

  it('adds noise of the stated size (4 standard errors) around gain x truth + offset', () => {
    const values = shown({ noise: 0.5, gain: -2, offset: 3 }, () => 10, 10_000) as number[];
    const mean = values.reduce((a, b) => a + b) / values.length;
    const spread = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length);
    expect(Math.abs(mean + 17)).toBeLessThan((4 * 0.5) / 100);
    expect(Math.abs(spread - 0.5)).toBeLessThan((4 * 0.5) / Math.sqrt(2 * 10_000));
  });

  it('gets a bias at a moment and keeps it, and tells a wrong unit or sign for a spell only', () => {
    const faults = {
      jumps: [{ atS: 0.4, add: 10 }],
      scaled: [
        { fromS: 0.6, forS: 0.2, factor: 1 / 60 },
        { fromS: 0.8, forS: 0.2, factor: -1 },
      ],
    };
    expect(shown(faults, () => 20, 6)).toEqual([20, 20, 30, 0.5, -30, 30]);
  });

  it('by exception tells a value that has left its deadband, and an old one anew', () => {
    const byException = { deadband: 0.5, everyS: 1 };
    const steps = [0, 0.4, 0.6, 0.8, 1.05, 1.05, 1.05, 1.05, 1.3, 1.3, 9];
    expect(shown({ byException }, (t) => steps[Math.round(t * 5)] as number, 11)).toEqual([
      0,
      undefined,
      0.6,
      undefined,
      undefined,
      undefined,
      undefined,
      1.05, // 1 s after 0.6 was told
      undefined,
      undefined,
      9,
    ]);
  });

  it('shows whole steps only, in as many digits as the step has', () => {
    expect(shown({ quantum: 0.1 }, (t) => t * 0.33, 5)).toEqual([0, 0.1, 0.1, 0.2, 0.3]);
  });

  it('lags: after one time constant of a jump it has gone 63.2 % of the way', () => {
    const values = shown({ lagS: 2 }, (t) => (t > 0 ? 1 : 0), 11) as number[];
    expect(values[10]).toBeCloseTo(1 - Math.exp(-1), 6);
  });

  it('drifts per hour, saturates, sticks and is missing for the stated spells only', () => {
    expect(shown({ driftPerHour: 36 }, () => 0, 6)[5]).toBeCloseTo(0.01, 9);
    expect(shown({ range: { low: 1, high: 2 } }, (t) => 5 * t, 4)).toEqual([1, 1, 2, 2]);
    expect(shown({ stuck: [{ fromS: 0.4, forS: 0.6 }] }, (t) => 5 * t, 7)).toEqual([0, 1, 1, 1, 1, 5, 6]);
    expect(shown({ missing: [{ fromS: 0.4, forS: 0.4 }] }, () => 1, 6)).toEqual([
      1,
      1,
      undefined,
      undefined,
      1,
      1,
    ]);
  });

  it('is missing as often as told (4 standard errors)', () => {
    const absent = shown({ missingChance: 0.1 }, () => 1, 10_000).filter((v) => v === undefined).length;
    expect(Math.abs(absent - 1000)).toBeLessThan(4 * 30);
  });
});

const T0 = 1_700_000_000_000;

/** Sends one numbered report every 200 ms; what arrives, in the order in which it is handed out. */
function arrived(faults: object, reports: number) {
  const gateway = gatewaySchema.parse(faults);
  let state: GatewayState = { sequence: 0, underWay: [], lastArrivalMs: 0, stream: seedStream(4, 'gateway') };
  const report: Report = { topic: 't', retain: false, payload: (n, t) => `${n} ${t}` };
  return Array.from({ length: reports }, (_, n) => {
    const atMs = T0 + n * 200;
    const passed = passOn(gateway, state, [report], { atMs, atS: n / 5, untilMs: atMs + 200 });
    state = passed.state;
    return passed.messages.map(({ atMs: arrival, payload }) => {
      const [sequence, stamp] = payload.split(' ').map(Number) as [number, number];
      return { arrivalMs: arrival - T0, sequence, stampMs: stamp - T0 };
    });
  }).flat();
}

describe('a gateway', () => {
  it('numbers and stamps each report and delivers it after its delay', () => {
    expect(arrived({ delayMs: 20 }, 3)).toEqual([
      { arrivalMs: 20, sequence: 0, stampMs: 0 },
      { arrivalMs: 220, sequence: 1, stampMs: 200 },
      { arrivalMs: 420, sequence: 2, stampMs: 400 },
    ]);
  });

  it('never reorders, whatever the jitter, and hands out in order of arrival', () => {
    const messages = arrived({ delayMs: 10, jitterMs: 900 }, 300);
    expect(messages.length).toBeGreaterThan(290); // the last ones are still under way
    messages.forEach((message, i) => {
      expect(message.sequence).toBe(i);
      if (i > 0) expect(message.arrivalMs).toBeGreaterThanOrEqual(messages[i - 1]!.arrivalMs);
    });
  });

  it('loses and doubles as often as told (4 standard errors); a lost report leaves a gap in the numbers', () => {
    const lost = arrived({ lossChance: 0.05 }, 5000);
    expect(Math.abs(5000 - lost.length - 250)).toBeLessThan(4 * Math.sqrt(5000 * 0.05 * 0.95));
    expect(new Set(lost.map((m) => m.sequence)).size).toBe(lost.length);
    const doubled = arrived({ duplicateChance: 0.05 }, 5000);
    expect(Math.abs(doubled.length - 5000 - 250)).toBeLessThan(4 * Math.sqrt(5000 * 0.05 * 0.95));
    expect(new Set(doubled.map((m) => m.sequence)).size).toBe(5000);
  });

  it('is silent for the stated spell', () => {
    const numbers = arrived({ silent: [{ fromS: 1, forS: 1 }] }, 15).map((m) => m.sequence);
    expect(numbers).toEqual([0, 1, 2, 3, 4, 10, 11, 12, 13, 14]);
  });

  it('holds a spell back and delivers it in one burst, in order, with its old stamps', () => {
    const messages = arrived({ delayMs: 5, heldBack: [{ fromS: 1, forS: 1 }] }, 15);
    expect(messages.map((m) => m.sequence)).toEqual(Array.from({ length: 15 }, (_, i) => i));
    const burst = messages.filter((m) => m.sequence >= 5 && m.sequence < 10);
    expect(burst.map((m) => m.arrivalMs)).toEqual([2005, 2005, 2005, 2005, 2005]);
    expect(burst.map((m) => m.stampMs)).toEqual([1000, 1200, 1400, 1600, 1800]);
  });

  it('stamps by its own clock, offset and drift included', () => {
    const messages = arrived({ clockOffsetMs: 5000, clockDriftPpm: 1000 }, 51);
    expect(messages[0]?.stampMs).toBe(5000);
    expect(messages[50]?.stampMs).toBe(5000 + 10_000 + 10);
  });
});

it('a topic gets its captures filled in, as often as they stand there', () => {
  expect(topicFor('a/{winder}/{end}/{winder}', { winder: 'w', end: 'drive' })).toBe('a/w/drive/w');
});
