import type { AlarmView } from '@edge-margin/alarms';
import type { Reason } from '@edge-margin/units';

/** Bodies about the service's own health. Instants are epoch ms. */

/** GET /api/service-health */
export interface ServiceHealthBody {
  readonly nowMs: number;
  readonly startedAtMs: number;
  readonly version: string;
  /** The worst state of any part. */
  readonly state: Exclude<PartState, 'off'>;
  /** Every part, always in this order: broker, journal, store, fold, live, outbox, replica, disk, clock, process. */
  readonly parts: readonly PartHealth[];
  /** The service's own alarms that are active or not acknowledged; they stand in `GET /api/alarms` too and are acknowledged like any other. */
  readonly alarms: readonly AlarmView[];
}

/**
 * `broker`: connection and subscriptions. `journal`: messages on disk before they are acknowledged. `store`: series and records on disk.
 * `fold`: the assessment of what came in. `live`: open pages. `outbox`: messages that must leave. `replica`: the copy in InfluxDB.
 * `disk`: space in DATA_DIR. `clock`: the machine's clock. `process`: event loop and memory.
 */
export type PartName =
  'broker' | 'journal' | 'store' | 'fold' | 'live' | 'outbox' | 'replica' | 'disk' | 'clock' | 'process';

/** `degraded`: it works, but somebody should look. `down`: it does not do its work. `off`: not set up. */
export type PartState = 'ok' | 'degraded' | 'down' | 'off';

export interface PartHealth {
  readonly part: PartName;
  readonly state: PartState;
  /** Since when it is in this state. */
  readonly sinceMs: number;
  /** Why it is not ok; empty where it is. The gravest first. */
  readonly because: readonly Reason[];
  readonly figures: readonly HealthFigure[];
}

export interface HealthFigure {
  /** A stable word for programs, lower-case words with hyphens, e.g. `behind-rows`. Unique within its part. */
  readonly name: string;
  /** For people, e.g. `rows behind`. */
  readonly label: string;
  /** Null where it is not known (yet). Text stands as it is. */
  readonly value: number | string | null;
  /** Of a number: seconds, bytes, a plain count, a rate a second, a share (1 is all), or `instant`: epoch ms. Null for text. */
  readonly unit: 's' | 'By' | 'count' | '1/s' | 'ratio' | 'instant' | null;
}

/** GET /api/keeping: what is kept how long, by the settings in force */
export interface KeepingBody {
  readonly kept: readonly KeptView[];
  /** Why less is let go of at present than these times say: this machine's clock is not believed (yet). Null where it is. */
  readonly heldBack: Reason | null;
}

export interface KeptView {
  /** A stable word for programs, e.g. `raw-series`. */
  readonly name: string;
  /** For people, e.g. `series as they came`. */
  readonly label: string;
  /** `here`: in DATA_DIR. `influxdb`: what the retention policy was made with; one that was there before, or was altered there, goes before it. */
  readonly where: 'here' | 'influxdb';
  /** ms; null: without end. */
  readonly keptMs: number | null;
  /** Where less is kept as soon as there is more than this. */
  readonly atMost: { readonly value: number; readonly unit: 'By' | 'count' } | null;
  /** The setting that says so; null where none does. */
  readonly setting: string | null;
}

/** GET /health/ready: 200 with `pass` or `warn`, 503 with `fail`. For probes, without a sign-in: parts and codes, no figures. */
export interface ReadinessBody {
  /** `warn`: the service does its work, but a part is degraded. `fail`: it cannot do its work. */
  readonly status: 'pass' | 'warn' | 'fail';
  readonly because: readonly {
    readonly part: PartName;
    readonly status: 'warn' | 'fail';
    /** Code of the reason, e.g. `broker-disconnected`. What lies behind it is in `GET /api/service-health` and in the log. */
    readonly code: string;
    readonly because: string;
  }[];
}

/** GET /health/live: the process runs and answers. */
export interface LivenessBody {
  readonly status: 'pass';
}

/**
 * GET /api/journal-rows?from=&limit= : rows of the journal from a position on, oldest first; the last ones where no position is given. The way
 * from an alarm (`row.position` of its transition) to the message, and from a message to what it brought about.
 */
export interface JournalRowsBody {
  /** What the journal still holds. */
  readonly firstPosition: number;
  readonly lastPosition: number;
  readonly rows: readonly JournalRowView[];
}

export interface JournalRowView {
  readonly position: number;
  readonly kind: 'message' | 'command' | 'config' | 'link' | 'tick';
  readonly arrivedAtMs: number;
  /** Of a message; null otherwise. */
  readonly topic: string | null;
  readonly payloadBytes: number | null;
  /** Of a message: the beginning of its payload, with what cannot be seen written out. Of another row: what it says, in short. */
  readonly sample: string | null;
  /** Transitions of alarms that came about at this row. */
  readonly alarms: readonly { readonly id: string; readonly alarmKey: string; readonly kind: string }[];
}
