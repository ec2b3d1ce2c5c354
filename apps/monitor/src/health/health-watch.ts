import type { AlarmView } from '@edge-margin/alarms';
import {
  nothingReported,
  type OwnTrouble,
  type PartHealth,
  type PartName,
  type PartState,
  type ReadinessBody,
  type ServiceHealthBody,
  type TroubleSign,
  type TroubleWatch,
  watchTrouble,
} from '@edge-margin/monitoring';
import type { PartReading } from './part-reading.js';
import { withoutPlaces } from './without-places.js';

export interface HealthWatchOptions {
  readonly version: string;
  /** Looks at every part, in the order in which they are shown. */
  readonly read: () => readonly PartReading[];
  /** Takes a trouble to where its alarm is made. */
  readonly report: (sign: TroubleSign) => void;
  /** What was last reported, as the folded state has it. */
  readonly reported: ReadonlyMap<OwnTrouble, TroubleWatch>;
  readonly alarms: () => readonly AlarmView[];
  /** Epoch ms. */
  readonly now: () => number;
  /** A clock that never jumps, ms. */
  readonly steadyMs: () => number;
}

const freshMs = 100;

/** Looks at the parts of the service: what state each is in and since when, and which troubles maintenance is to be told of. */
export class HealthWatch {
  readonly #options: HealthWatchOptions;
  readonly #startedAtMs: number;
  readonly #states = new Map<PartName, { readonly state: PartState; readonly sinceMs: number }>();
  readonly #watches: Map<OwnTrouble, TroubleWatch>;
  #latest: { readonly readings: readonly PartReading[]; readonly atMs: number } | undefined;

  constructor(options: HealthWatchOptions) {
    this.#options = options;
    this.#startedAtMs = options.now();
    this.#watches = new Map(options.reported);
  }

  /** One look, with its reports: to be called every other second. */
  look(): void {
    const signs = this.#read().flatMap(({ troubles }) => troubles);
    this.#hold(new Set(signs.map(({ trouble }) => trouble)));
    for (const sign of signs) this.#watch(sign);
  }

  /** What cannot be told now neither begins nor ends; its delay begins anew when it can. */
  #hold(told: ReadonlySet<OwnTrouble>): void {
    for (const [trouble, watch] of this.#watches)
      if (!told.has(trouble) && watch.seen !== null) this.#watches.set(trouble, { ...watch, seen: null });
  }

  body(): ServiceHealthBody {
    const { alarms, now, version } = this.#options;
    const parts = this.#read().map((reading) => this.#healthOf(reading));
    return {
      nowMs: now(),
      startedAtMs: this.#startedAtMs,
      version,
      state: worst(parts),
      parts,
      alarms: alarms().filter(({ mechanism }) => mechanism === 'service'),
    };
  }

  /** Whether the service can do its work, in words that show no addresses: whoever asks need not be signed in. */
  readiness(): ReadinessBody {
    const because = this.#read().flatMap(({ part, state, blocks, because }) =>
      state === 'ok' || state === 'off'
        ? []
        : because.map(({ code, text }) => ({
            part,
            status: blocks ? ('fail' as const) : ('warn' as const),
            code,
            because: withoutPlaces(text),
          })),
    );
    const fails = because.some(({ status }) => status === 'fail');
    return { status: fails ? 'fail' : because.length > 0 ? 'warn' : 'pass', because };
  }

  /** Looks at the parts; who asks again at once gets the same, so that probes that come in numbers cost little. */
  #read(): readonly PartReading[] {
    const steadyMs = this.#options.steadyMs();
    if (this.#latest !== undefined && steadyMs - this.#latest.atMs < freshMs) return this.#latest.readings;
    const readings = this.#options.read();
    this.#latest = { readings, atMs: steadyMs };
    const nowMs = this.#options.now();
    for (const { part, state } of readings)
      if (this.#states.get(part)?.state !== state) this.#states.set(part, { state, sinceMs: nowMs });
    return readings;
  }

  #healthOf({ part, state, because, figures }: PartReading): PartHealth {
    return { part, state, sinceMs: this.#states.get(part)?.sinceMs ?? this.#startedAtMs, because, figures };
  }

  #watch(sign: TroubleSign): void {
    const before = this.#watches.get(sign.trouble) ?? nothingReported;
    const { watch, report } = watchTrouble(before, sign, this.#options.steadyMs());
    if (report) this.#options.report(sign);
    this.#watches.set(sign.trouble, watch);
  }
}

function worst(parts: readonly PartHealth[]): ServiceHealthBody['state'] {
  if (parts.some(({ part, state }) => state === 'down' && part !== 'replica')) return 'down';
  return parts.some(({ state }) => state === 'down' || state === 'degraded') ? 'degraded' : 'ok';
}
