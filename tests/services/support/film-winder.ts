import type { MqttClient } from 'mqtt';

/** A film winder as its gateway would send it, made for the tests: D^2 = D0^2 + 4 h V t / pi, everything else steady. */
export const filmPlant = `
plantFileVersion: 1
site: { id: testsite, name: Test site }
areas:
  - id: film
    name: Film
    lines:
      - id: line-1
        name: Line 1
        winders:
          - id: film-9
            name: Film winder 9
            limits:
              speedMPerS: { min: 0, max: 12 }
              tensionNPerM: { min: 40, max: 300 }
              nipLoadNPerM: { min: 50, max: 800 }
              diameterM: { max: 0.8 }
            stations:
              - id: a
                name: Station A
                coreDiameterM: 0.152
                rolls: [{ id: only, widthM: 1.2 }]
                nip: { kind: lay-on roller, rollerDiameterM: 0.12, coverModulusPa: 3.0e+6, effectiveMassPerEndKg: 20 }
                defaultGrade: test-film
grades:
  - id: test-film
    name: Test film
    caliperM: 100.0e-6
    combinedRoughnessM: 0.5e-6
    permeanceMPerPaS: 0
    setEndDiameterM: 0.30
    calibration: { ratedRolls: 20, criticalSpeedUncertaintyRatio: 0.03, approvedBy: test, approvedOn: 2026-01-01 }
    activated: true
sources:
  - topic: mill/{winder}/{station}/drive
    time: { pointer: /t, format: epoch-ms }
    sequence: /n
    signals:
      - { signal: speed, pointer: /v, unit: m/min, expectedPeriodS: 0.2, uncertaintyRatio: 0.001 }
      - { signal: diameter, pointer: /d, unit: mm, expectedPeriodS: 0.2, uncertainty: 0.0005 }
      - { signal: tension, pointer: /f, unit: N, total: true, expectedPeriodS: 0.2, uncertaintyRatio: 0.01 }
      - { signal: winding, pointer: /on, unit: "1", expectedPeriodS: 0.2 }
  - topic: mill/{winder}/{station}/nip/{end}
    time: { pointer: /t, format: epoch-ms }
    signals:
      - { signal: nipLoad, pointer: /load, unit: N/m, expectedPeriodS: 0.2, uncertaintyRatio: 0.01 }
      - { signal: nipAcceleration, pointer: /peak, unit: m/s2, expectedPeriodS: 0.2, uncertaintyRatio: 0.05 }
      - { signal: nipLoadSwing, pointer: /swing, unit: "%", expectedPeriodS: 0.2 }
limits:
  edgeRisk: { lookAheadS: 60, responseS: 5 }
`;

/** The series of its speed. */
export const filmSpeed = {
  measurement: 'reading',
  winderId: 'film-9',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const;

const periodMs = 200;
const coreM = 0.152;
const caliperM = 100e-6;
const fullSpeedMPerS = 6;

export interface FilmSample {
  readonly topic: string;
  readonly payload: string;
}

/** What the gateway sends at `t` seconds after the start of the roll, started at `startMs`: three messages. */
export function filmSamples(startMs: number, index: number): readonly FilmSample[] {
  const t = (index * periodMs) / 1000;
  const atMs = startMs + index * periodMs;
  const rampS = 2;
  const speed = t < rampS ? (fullSpeedMPerS * t) / rampS : fullSpeedMPerS;
  const length = t < rampS ? (fullSpeedMPerS * t * t) / (2 * rampS) : fullSpeedMPerS * (t - rampS / 2);
  const diameter = Math.sqrt(coreM ** 2 + (4 * caliperM * length) / Math.PI);
  const nip = (end: string): FilmSample => ({
    topic: `mill/film-9/a/nip/${end}`,
    payload: JSON.stringify({ t: atMs, load: 300, peak: 1.2, swing: 3 }),
  });
  const drive = { t: atMs, n: index, v: speed * 60, d: diameter * 1000, f: 120, on: 1 };
  return [{ topic: 'mill/film-9/a/drive', payload: JSON.stringify(drive) }, nip('tending'), nip('drive')];
}

/** A stretch of a roll that was started at `startMs`, from one sample up to another. */
export interface FilmStretch {
  readonly startMs: number;
  readonly from: number;
  readonly to: number;
  /** With the clock, instead of as fast as the broker takes it. */
  readonly inStep?: boolean;
  /** Ends it earlier. */
  readonly signal?: AbortSignal;
}

/** Publishes a stretch of the roll at QoS 1. Gives the number of messages. */
export async function publishFilm(client: MqttClient, roll: FilmStretch): Promise<number> {
  const sent: Promise<unknown>[] = [];
  for (let index = roll.from; index < roll.to && roll.signal?.aborted !== true; index += 1) {
    const dueInMs = roll.startMs + index * periodMs - Date.now();
    if (roll.inStep === true && dueInMs > 0) await new Promise((resolve) => setTimeout(resolve, dueInMs));
    const sample = filmSamples(roll.startMs, index).map(({ topic, payload }) =>
      client.publishAsync(topic, payload, { qos: 1 }),
    );
    sent.push(...sample);
    // A stretch of the past goes out in one piece: sent bit by bit on a slow machine, its end would come too late for the assessment.
    if (roll.inStep === true) await Promise.all(sample);
  }
  await Promise.all(sent);
  return sent.length;
}

/** Index of the sample that is due now. */
export function presentIndex(startMs: number): number {
  return Math.floor((Date.now() - startMs) / periodMs);
}
