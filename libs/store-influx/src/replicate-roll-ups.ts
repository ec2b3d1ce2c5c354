import {
  type RolledResolution,
  rolledResolutions,
  type RollUpRow,
  type RollUpSource,
} from '@edge-margin/series';
import { reason } from '@edge-margin/units';
import { createRowDelivery, type DeliveryFailure, type RowDelivery } from './deliver-rows.js';
import { clientOf, type InfluxServer } from './influx-server.js';
import type { Clock } from './clock.js';
import { type LaneStep, misconfiguredMs } from './lane.js';
import { createLineEncoder, type TagsOf } from './line-protocol.js';
import {
  influxDuration,
  type RollUpLineRow,
  rollUpLineRows,
  rollUpPolicies,
  type RollUpsKept,
} from './roll-up-layout.js';
import { createLineWriter } from './write-lines.js';

export interface RollUpReplicationParts {
  readonly source: RollUpSource;
  readonly name: string;
  readonly server: InfluxServer;
  readonly tagsOf: TagsOf;
  readonly idleMs: number;
  readonly clock: Clock;
  readonly signal: AbortSignal;
  /** Make the retention policies where they are missing and this account may. */
  readonly createPolicies: boolean;
  /** What the policies are made with. One that is there already stays as it is: to shorten it would delete what a site wants to keep. */
  readonly keptMs: RollUpsKept;
}

/** A question that cannot be called back must not hold up the end of the service, ms. */
const policyTimeoutMs = 4000;
/** Windows in one request: eight fields each. */
const batchWindows = 500;

/** Brings the roll-ups over, each resolution to its own measurements and retention policy. Gives the step of a lane. */
export function createRollUpReplication(parts: RollUpReplicationParts): () => Promise<LaneStep> {
  const { source, name, idleMs, signal } = parts;
  const deliveries = new Map(
    rolledResolutions.map((resolution) => [resolution, deliveryOf(parts, resolution)]),
  );
  const makePolicies = policyMaker(parts);
  return async () => {
    await makePolicies();
    const rows = source.waiting(name, batchWindows);
    for (const [resolution, deliver] of deliveries) {
      const own = rows.filter((row) => row.resolution === resolution).flatMap(rollUpLineRows);
      const delivery = own.length === 0 ? undefined : await deliver.send(await deliver.prepare(own), signal);
      if (delivery !== undefined && delivery.kind !== 'delivered') return failed(parts, resolution, delivery);
    }
    confirm(source, name, rows);
    return { kind: 'done', waitMs: rows.length < batchWindows ? idleMs : 0 };
  };
}

function deliveryOf(
  { server, tagsOf }: RollUpReplicationParts,
  resolution: RolledResolution,
): RowDelivery<RollUpLineRow> {
  const retentionPolicy = rollUpPolicies[resolution];
  return createRowDelivery(createLineEncoder(tagsOf), createLineWriter({ ...server, retentionPolicy }));
}

/** Windows whose series or rows are gone leave holes at the end: those are the replica's too. */
function confirm(source: RollUpSource, name: string, rows: readonly RollUpRow[]): void {
  const last = rows.at(-1);
  if (last !== undefined) source.confirm(name, last.seq);
}

/** Makes all policies once, before the first roll-up of an hour would need the last of them: who reads needs them sooner. */
function policyMaker({ server, createPolicies, clock, keptMs }: RollUpReplicationParts): () => Promise<void> {
  let isMade = !createPolicies;
  let nextAtMs = -Infinity;
  return async () => {
    if (isMade || clock.now() < nextAtMs) return;
    nextAtMs = clock.now() + misconfiguredMs;
    for (const resolution of rolledResolutions) {
      isMade = await createPolicy(server, rollUpPolicies[resolution], influxDuration(keptMs[resolution]));
      if (!isMade) return; // the database is still missing, or this account may not
    }
  };
}

async function failed(
  parts: RollUpReplicationParts,
  resolution: RolledResolution,
  failure: DeliveryFailure,
): Promise<LaneStep> {
  const { code } = failure.because;
  if (code !== 'replica-retention-policy-missing' && code !== 'replica-mapping-missing') return failure;
  const name = rollUpPolicies[resolution];
  const duration = influxDuration(parts.keptMs[resolution]);
  const { database } = parts.server;
  if (parts.createPolicies && (await createPolicy(parts.server, name, duration)))
    return { ...failure, mended: true };
  const missing =
    code === 'replica-mapping-missing'
      ? `a bucket mapped to database ${database}, retention policy ${name}`
      : `CREATE RETENTION POLICY "${name}" ON "${database}" DURATION ${duration} REPLICATION 1`;
  const text = `roll-ups of ${resolution} are not copied: InfluxDB has no retention policy ${name}, and this account may not make it; what is needed: ${missing}`;
  return {
    ...failure,
    because: reason('replica-roll-up-policy-missing', text, { resolution, policy: name }),
  };
}

async function createPolicy(server: InfluxServer, name: string, duration: string): Promise<boolean> {
  try {
    await clientOf({ ...server, timeoutMs: policyTimeoutMs }).createRetentionPolicy(name, {
      database: server.database,
      duration,
      replication: 1,
      isDefault: false,
    });
    return true;
  } catch (error) {
    // With another duration it is the site's own, and stays. Not allowed, or not reached: a failed write says what is missing.
    return error instanceof Error && error.message.includes('already exists');
  }
}
