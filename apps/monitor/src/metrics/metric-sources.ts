import { modelRevision } from '@edge-margin/monitoring';
import { programVersion } from '../program-version.js';
import type { Runtime } from '../runtime.js';
import type { MetricSources } from './service-families.js';

/** The figures of the running parts at this moment. */
export function metricSources(runtime: Runtime, startedAtMs: number, nowMs: number): MetricSources {
  const { broker, health, hub, journal, pipeline, present, replica, store, tally } = runtime;
  const { model } = pipeline;
  const { user, system } = process.cpuUsage();
  return {
    build: {
      version: programVersion,
      model_revision: modelRevision,
      configuration_revision: model?.configurationRevision ?? '',
      node_version: process.versions.node,
    },
    startedAtMs,
    nowMs,
    tally,
    received: broker.received(),
    readingsNotUsed: store.notUsed.summary(),
    journal,
    backlogRows: pipeline.backlog,
    stations: model?.stations.size ?? 0,
    alarms: present.alarms(),
    replica: replica?.status(),
    outboxWaiting: store.outbox.pendingCount(),
    listeners: hub.listeners(),
    liveEvents: hub.sent(),
    health,
    cpuS: (user + system) / 1e6,
    memory: process.memoryUsage(),
  };
}
