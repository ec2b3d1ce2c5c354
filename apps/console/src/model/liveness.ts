import type { StationAssessment } from '@edge-margin/monitoring';

/** How far a page may be believed: a last good value without its age is never shown as present. */
export type Liveness =
  | { readonly kind: 'live' }
  /** This screen does not hear the service. `sinceMs` is null where it never did. */
  | { readonly kind: 'no-connection'; readonly sinceMs: number | null }
  /** The service is heard, the station is not. `sinceMs` is null where nothing ever came. */
  | { readonly kind: 'no-data'; readonly sinceMs: number | null };

export type Connection =
  | { readonly kind: 'connecting' }
  | { readonly kind: 'live' }
  | { readonly kind: 'lost'; readonly sinceMs: number | null };

/** An assessment comes every second of the grid; one older than this, in service time, is not live. */
const assessmentLiveMs = 10_000;

/** The service sends its own state every 5 s; a stream silent for longer than this is lost. */
export const streamSilentMs = 12_000;

export interface Heard {
  readonly connection: Connection;
  readonly assessment: StationAssessment | null;
  /** Service time at which this screen received the assessment; a source whose clock runs ahead cannot look fresh by that alone. */
  readonly receivedAtMs: number | null;
  readonly serviceNowMs: number | null;
}

export function livenessOf({ connection, assessment, receivedAtMs, serviceNowMs }: Heard): Liveness {
  if (connection.kind === 'lost') return { kind: 'no-connection', sinceMs: connection.sinceMs };
  if (assessment === null || serviceNowMs === null)
    return { kind: 'no-data', sinceMs: assessment?.atMs ?? null };
  const lastMs = Math.min(assessment.atMs, receivedAtMs ?? assessment.atMs);
  return serviceNowMs - lastMs > assessmentLiveMs ? { kind: 'no-data', sinceMs: lastMs } : { kind: 'live' };
}

/** `data live`, `no data since 02:31`, `connection to the service lost since 14:22`. */
export function livenessWords(liveness: Liveness, clock: (atMs: number) => string): string {
  switch (liveness.kind) {
    case 'live':
      return 'data live';
    case 'no-data':
      return liveness.sinceMs === null ? 'no data yet' : `no data since ${clock(liveness.sinceMs)}`;
    case 'no-connection':
      return liveness.sinceMs === null
        ? 'the service cannot be reached'
        : `connection to the service lost since ${clock(liveness.sinceMs)}`;
  }
}

/** The same where room is short: `connection lost since 14:22`. */
export function shortLiveness(liveness: Liveness, clock: (atMs: number) => string): string {
  return livenessWords(liveness, clock).replace('connection to the service', 'connection');
}
