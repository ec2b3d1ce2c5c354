import type { AssessAnswer, OperatingMap } from '@edge-margin/air-film';
import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { Reason } from '@edge-margin/units';
import type { StationAssessment } from './assessment.js';
import type { ActingPerson } from './door-api.js';

/** Bodies of the HTTP API and of the live stream. SI throughout; instants are epoch ms. */

/** GET /api/winders */
export interface WindersBody {
  readonly winders: readonly WinderView[];
  readonly service: ServiceView;
}

/** GET /api/winders/{winderId} */
export interface WinderBody {
  readonly winder: WinderView;
  readonly service: ServiceView;
}

export interface WinderView {
  readonly id: string;
  readonly name: string;
  readonly areaName: string;
  readonly lineName: string;
  readonly simulated: boolean;
  readonly stations: readonly StationView[];
}

export interface StationView {
  readonly id: string;
  readonly name: string;
  /** Null until the first grid time. */
  readonly assessment: StationAssessment | null;
  /** Alarms that are active or not acknowledged, in the order in which they were raised. */
  readonly alarms: readonly AlarmView[];
  readonly nip: { readonly kind: string; readonly rollerDiameterM: number } | null;
  readonly machineLimits: { readonly speedMaxMPerS: number; readonly diameterMaxM: number };
}

export interface ServiceView {
  readonly nowMs: number;
  readonly broker: {
    readonly state: 'up' | 'down';
    readonly sinceMs: number;
    readonly detail: string | null;
  };
  readonly replica: {
    readonly state: 'off' | 'up' | 'down';
    readonly behindRows: number;
    readonly detail: string | null;
  };
  readonly display: 'metric' | 'us';
  /** True where every reading comes from the built-in simulation. */
  readonly demo: boolean;
  readonly configurationRevision: string;
}

/** GET /api/winders/{winderId}/series?station=a&field=reading:speed&field=reading:nipLoad@tending&from=&to=&maxPoints= */
export interface SeriesBody {
  readonly series: readonly {
    /** As asked: `measurement:field` or `measurement:field@end`. */
    readonly field: string;
    /** `[atMs, value]`, all measured, in order of time; thinned to the points that keep its shape where there were more than `maxPoints`. */
    readonly points: readonly (readonly [number, number])[];
    readonly thinned: boolean;
    /** `raw`: from the points themselves. Else from windows of this length, which keep the lowest, the highest, the mean and the last of their points. */
    readonly resolution: 'raw' | '10s' | '1min' | '1h';
    /** Where it was found: here, in the long memory (InfluxDB), both, or nowhere. */
    readonly source: 'local' | 'remote' | 'both' | 'none';
    /** Length of the intervals of the band, ms; null where there is none. */
    readonly intervalMs: number | null;
    /** `[startMs, lowest, highest, mean]` of every interval that holds a point; empty for `raw`. */
    readonly band: readonly (readonly [number, number, number, number])[];
    /** Why something may be missing or coarser than it could be (the long memory did not answer, say); null where nothing is. */
    readonly partial: Reason | null;
  }[];
  /** What is known to be missing within the range, oldest first. */
  readonly gaps: readonly SeriesGap[];
}

export interface SeriesGap {
  /** `messages`: readings that did not come. `series`: points here. `replica influx`: points in the long memory. */
  readonly what: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How many, where it is known. */
  readonly count: number | null;
  readonly because: Reason;
}

/** GET /api/alarms */
export interface AlarmsBody {
  readonly alarms: readonly AlarmView[];
}

/** GET /api/alarms/journal?from=&to=&limit= , newest first */
export interface AlarmJournalBody {
  readonly transitions: readonly AlarmTransition[];
}

/** POST /api/alarms/{alarmKey}/acknowledge */
export interface AcknowledgeRequest {
  readonly occurrenceId: string;
  readonly comment?: string;
  /** Who acts, at a screen where nobody is signed in; journaled by the name that the person has here. */
  readonly acting?: ActingPerson;
}
export interface AcknowledgeBody {
  readonly alarm: AlarmView;
}

/** GET /api/readings-not-used */
export interface ReadingsNotUsedBody {
  readonly total: number;
  readonly byReason: readonly {
    readonly code: string;
    readonly count: number;
    readonly lastAtMs: number;
    readonly last: {
      readonly because: Reason;
      readonly topic: string;
      readonly sample: string;
      readonly stationKey: string | null;
      readonly signal: string | null;
    };
  }[];
}

/** GET /api/gaps?from=&to=&limit= : what is known to be missing, by its end, newest first */
export interface GapsBody {
  readonly gaps: readonly SeriesGap[];
  /** True where more gaps reach into the time than were asked for. */
  readonly more: boolean;
}

/** POST /api/assess: the same request and answer as the command `assess`. */
export type AssessBody = AssessAnswer;

/** GET /api/winders/{winderId}/operating-map?station=a&over=diameter|nipLoad|tension&steps= */
export interface OperatingMapBody {
  /** x: speed, m/s; y: what was asked for, SI. */
  readonly over: 'diameter' | 'nipLoad' | 'tension';
  readonly map: OperatingMap;
  /** Where the station runs now. */
  readonly now: { readonly speedMPerS: number; readonly y: number };
}

/**
 * GET /api/live: server-sent events, each with an id.
 * `assessment`: a StationAssessment. `alarm`: an AlarmView whenever it changes (also to NORM). `service`: a ServiceView every 5 s.
 * On connect and after a gap the latest of each is sent first.
 */
export type LiveEvent =
  | { readonly type: 'assessment'; readonly data: StationAssessment }
  | { readonly type: 'alarm'; readonly data: AlarmView }
  | { readonly type: 'service'; readonly data: ServiceView };
