import type { PartState } from '@edge-margin/monitoring';
import type { ReplicaStatus } from '@edge-margin/store-influx';
import { type Reason, reason } from '@edge-margin/units';
import { figure, type PartReading, sign } from '../part-reading.js';

/** What the store keeps for the replica at most: beyond it, rows are lost to it. */
export interface ReplicaLimits {
  readonly maxRows: number;
  readonly maxAgeMs: number;
}

const lateMs = 15 * 60_000;
/** From this share of a limit on, rows are about to be lost to the replica. */
const nearLimitRatio = 0.8;

/** The copy in InfluxDB. Whatever is wrong with it, the service itself goes on. */
export function replicaPart(
  status: ReplicaStatus | undefined,
  limits: ReplicaLimits,
  nowMs: number,
): PartReading {
  if (status === undefined)
    return {
      part: 'replica',
      state: 'off',
      because: [],
      blocks: false,
      figures: [],
      troubles: [sign('replica-behind', null, undefined), sign('replica-refused', null, undefined)],
    };
  const behind = behindOf(status, limits, nowMs);
  const refused = refusedOf(status);
  return {
    part: 'replica',
    state: stateOf(status, behind, refused),
    because: [
      ...(refused === undefined ? [] : [refused]),
      ...(refused === undefined && status.lastError !== null ? [reasonOf(status.lastError)] : []),
      ...(behind === undefined ? [] : [behind.because]),
    ],
    blocks: false,
    figures: figuresOf(status, nowMs),
    troubles: [
      sign('replica-behind', behind?.stage ?? null, behind?.because),
      sign('replica-refused', 'reached', refused),
    ],
  };
}

function stateOf(status: ReplicaStatus, behind: object | undefined, refused: object | undefined): PartState {
  if (status.state === 'down') return 'down';
  return behind !== undefined || refused !== undefined ? 'degraded' : 'ok';
}

interface Behind {
  readonly stage: 'foreseen' | 'reached';
  readonly because: Reason;
}

function behindOf(
  { behindRows, oldestWaitingAtMs }: ReplicaStatus,
  { maxRows, maxAgeMs }: ReplicaLimits,
  nowMs: number,
): Behind | undefined {
  const ageMs = oldestWaitingAtMs === null || behindRows === 0 ? 0 : nowMs - oldestWaitingAtMs;
  const params = { behindRows, ageS: Math.round(ageMs / 1000) };
  if (behindRows > nearLimitRatio * maxRows || ageMs > nearLimitRatio * maxAgeMs)
    return {
      stage: 'reached',
      because: reason(
        'replica-near-its-limit',
        `InfluxDB lacks ${behindRows} rows, the oldest ${hours(ageMs)} old: the service soon lets go of rows that it does not have`,
        params,
      ),
    };
  if (ageMs <= lateMs) return undefined;
  return {
    stage: 'foreseen',
    because: reason(
      'replica-behind',
      `InfluxDB lacks ${behindRows} rows, the oldest ${hours(ageMs)} old`,
      params,
    ),
  };
}

/** Somebody must act first: for the rows, or for the roll-ups. */
function refusedOf({ trouble, lastError, rollUps }: ReplicaStatus): Reason | undefined {
  if (trouble === 'misconfigured' && lastError !== null) return reasonOf(lastError);
  if (rollUps.trouble === 'misconfigured' && rollUps.lastError !== null) return reasonOf(rollUps.lastError);
  return undefined;
}

function reasonOf({ code, text, params }: Reason): Reason {
  return { code, text, params };
}

function figuresOf(status: ReplicaStatus, nowMs: number): PartReading['figures'] {
  const { oldestWaitingAtMs, behindRows } = status;
  const ageS =
    oldestWaitingAtMs === null || behindRows === 0 ? 0 : Math.max(0, (nowMs - oldestWaitingAtMs) / 1000);
  return [
    figure('state', 'connection', status.state, null),
    figure('behind-rows', 'rows behind', behindRows, 'count'),
    figure('oldest-age', 'age of the oldest row behind', ageS, 's'),
    figure('rate', 'rows written', status.rowsPerS, '1/s'),
    figure('catching-up', 'catching up', status.catchingUp ? 'yes' : 'no', null),
    figure('set-aside', 'rows it will never take', status.setAsideRows, 'count'),
    figure('roll-ups-state', 'roll-ups', status.rollUps.state, null),
    figure('roll-ups-behind', 'roll-ups behind', status.rollUps.behindRows, 'count'),
  ];
}

function hours(ms: number): string {
  return ms < 2 * 3_600_000 ? `${Math.round(ms / 60_000)} min` : `${Math.round(ms / 3_600_000)} h`;
}
