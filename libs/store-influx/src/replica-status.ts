import type { Reason } from '@edge-margin/units';

/**
 * What keeps a replica from taking rows. `none`: nothing. `unreachable`: no answer, or one that may be better next time. `misconfigured`:
 * somebody must act first (credentials, database, retention policy, a limit of the server). `local-store`: our own file cannot be read.
 */
export type ReplicaTrouble = 'none' | 'unreachable' | 'misconfigured' | 'local-store';

export interface ReplicaStatus {
  /** `up` when the last request was answered well, `down` before the first answer and after a failure. */
  readonly state: 'up' | 'down';
  readonly trouble: ReplicaTrouble;
  /** Why the replica is down; null while it is up. */
  readonly lastError: (Reason & { readonly atMs: number }) | null;
  readonly behindRows: number;
  /** Event time of the oldest row that the replica lacks, epoch ms; null where it lacks none. */
  readonly oldestWaitingAtMs: number | null;
  /** True while a backlog is brought up at the set rate, the newest rows first in between. */
  readonly catchingUp: boolean;
  /** Rows confirmed a second, over the last ten seconds. */
  readonly rowsPerS: number;
  /** Rows that InfluxDB will never take and that were set aside with their reason, since the start. */
  readonly setAsideRows: number;
  /** The roll-ups, which have retention policies of their own: they may lack one while the rows get through. */
  readonly rollUps: {
    readonly state: 'up' | 'down';
    readonly trouble: ReplicaTrouble;
    readonly lastError: (Reason & { readonly atMs: number }) | null;
    readonly behindRows: number;
  };
}
