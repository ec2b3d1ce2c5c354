import { type Journal, openJournal } from '@edge-margin/journal';
import { type Effect, type KeepingBody, type Monitor, openAlarms } from '@edge-margin/monitoring';
import { type DataDirLock, lockDataDir, openStore, type Store } from '@edge-margin/store-sqlite';
import type { Replica, TagsOf } from '@edge-margin/store-influx';
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { performance } from 'node:perf_hooks';
import type { Logger } from 'pino';
import { asyncApiOf } from './docs/asyncapi.js';
import { startEmbeddedBroker } from './demo/embedded-broker.js';
import { type SimulatorProcess, startSimulator } from './demo/simulator-process.js';
import type { BrokerClient } from './ingest/broker-client.js';
import { startTicks } from './ingest/ticks.js';
import { type Health, openHealth } from './health/open-health.js';
import { LiveHub } from './live/live-hub.js';
import { countRow, createTally, type Tally } from './metrics/tally.js';
import { timedStore } from './metrics/timed-store.js';
import { watchJournal } from './metrics/watch-journal.js';
import { beginWhereJournalBegins, rowsMissing } from './monitoring/begin-where-journal-begins.js';
import { Pipeline } from './monitoring/pipeline.js';
import { Present } from './monitoring/present.js';
import { assessmentMessage, outboxMessages } from './notify/mqtt-messages.js';
import { OutboxSender } from './notify/outbox-sender.js';
import { brokerDescription, openBroker } from './open-broker.js';
import { type PlantText, readPlantText } from './plant-text.js';
import { programPaths } from './program-paths.js';
import { programVersion } from './program-version.js';
import { keptViews } from './records/kept.js';
import { openLongMemory } from './records/long-memory.js';
import type { RemoteMemory } from './records/remote-memory.js';
import { pipelineStore } from './records/store-effects.js';
import { type KnownTimeWatch, watchKnownTime } from './records/watch-known-time.js';
import type { KeepingSettings } from './settings/keeping-settings.js';
import type { Settings } from './settings/settings.js';

/** The running parts behind the HTTP side. */
export interface Runtime {
  readonly journal: Journal;
  readonly store: Store;
  readonly pipeline: Pipeline;
  readonly present: Present;
  readonly hub: LiveHub;
  readonly broker: BrokerClient;
  readonly replica: Replica | undefined;
  /** Reads what the replica has copied; undefined without one. */
  readonly remote: RemoteMemory | undefined;
  readonly health: Health;
  readonly tally: Tally;
  readonly keeping: KeepingSettings;
  /** What ages are measured from. */
  readonly knownTime: KnownTimeWatch;
  /** What is kept how long. */
  readonly describeKeeping: () => KeepingBody;
  /** What is read from and published to the broker, as an AsyncAPI document. */
  readonly describeMessages: () => object;
  readonly isDemo: boolean;
  readonly start: () => void;
  readonly stop: () => Promise<void>;
}

/** Every part in the order in which it must be stopped. */
type Stop = () => void | Promise<void>;

/**
 * Opens everything the service is made of; `start` then lets messages in.
 * @throws SettingsError where the plant file cannot be used; DataDirLockedError, StoreError or JournalError where DATA_DIR cannot.
 */
export async function openRuntime(settings: Settings, log: Logger, now: () => number): Promise<Runtime> {
  const plantFile = readPlantText(settings.plant?.file ?? programPaths.demoPlant, log);
  const stops: Stop[] = [];
  try {
    return await openParts(settings, plantFile, log, now, stops);
  } catch (error) {
    for (const stop of stops.reverse()) await stop();
    throw error;
  }
}

async function openParts(
  settings: Settings,
  plantFile: PlantText,
  log: Logger,
  now: () => number,
  stops: Stop[],
): Promise<Runtime> {
  const directory = resolve(settings.dataDirectory);
  mkdirSync(directory, { recursive: true });
  const lock: DataDirLock = lockDataDir(directory);
  stops.push(lock.release);
  const store = openStore(join(directory, 'store.sqlite'));
  stops.push(store.close);
  const journal = await openJournal({ directory: join(directory, 'journal') });
  stops.push(() =>
    journal.close().catch((error: unknown) => {
      log.error({ err: error }, 'the last rows could not be written; their messages come again, unacknowledged');
    }),
  );
  journal.onFailure((error) =>
    log.error({ err: error }, 'the journal cannot be written; nothing is acknowledged until it can'),
  );
  journal.onRecovery(() => log.info('the journal can be written again'));

  const knownTime = watchKnownTime({
    path: join(directory, 'known-time.json'),
    lastArrivalMs: journal.segments().at(-1)?.lastArrivedAtMs ?? null,
    wallMs: now,
    steadyMs: () => performance.now(),
    log,
  });

  const tally = createTally();
  stops.push(watchJournal(journal, tally.durableDelay, () => performance.now()));
  const hub = new LiveHub(now());
  const present = new Present();
  stops.push(() => hub.close());
  let monitor: Pick<Monitor, 'model'> | undefined;
  const dependencies = { textDecoder: strictUtf8() };
  const pipeline = new Pipeline({
    journal,
    store: beginWhereJournalBegins({
      store: timedStore(
        pipelineStore(store, (effect) => outboxMessages(monitor?.model, effect)),
        tally.commitDelay,
      ),
      journal,
      plantFile,
      dependencies,
      onMissing: ({ from, to }) => {
        log.warn(
          { from, to },
          'journal rows that the store lacks are gone; it goes on with the first one kept',
        );
        store.gaps.record([rowsMissing(from, to, now())]);
      },
    }),
    dependencies,
    log,
    now,
    onEffects: (effects, current) => {
      if (current.model !== undefined && current.model !== monitor?.model)
        present.usePlant(current.model.plant);
      monitor = current;
      for (const effect of effects) show(effect);
    },
    onFolded: (rows) => {
      const nowMs = now();
      for (const folded of rows) countRow(tally, folded, nowMs);
    },
  });
  monitor = pipeline.monitor;
  if (monitor.model !== undefined) present.usePlant(monitor.model.plant);
  if (monitor.model?.configurationRevision !== plantFile.revision) {
    await journal.whenDurable(
      journal.append({
        kind: 'config',
        arrivedAtMs: now(),
        plantFile: plantFile.text,
        revision: plantFile.revision,
      }),
    );
  }
  const demoBroker = settings.plant === undefined ? await startEmbeddedBroker() : undefined;
  if (demoBroker !== undefined) stops.push(() => demoBroker.stop());
  const broker = openBroker(settings, demoBroker, plantFile, {
    journal,
    log,
    now,
    directory,
    onSilence: (gap) => store.gaps.extend(gap),
  });
  const sender = new OutboxSender({
    outbox: store.outbox,
    publish: (message) => broker.publish({ ...message, qos: message.qos === 0 ? 0 : 1 }),
    isConnected: () => broker.link().state === 'up',
    now,
    log,
  });
  const { replica, remote } = openLongMemory(
    settings.influx,
    store,
    placeOf(() => monitor),
    now,
  );

  function show(effect: Effect): void {
    present.take(effect);
    if (effect.kind === 'assessment') {
      hub.send({ type: 'assessment', data: effect.assessment });
      const message = assessmentMessage(monitor?.model, effect.assessment);
      // Only the newest assessment matters: one that cannot be sent now is overtaken by the next.
      if (message !== undefined && broker.link().state === 'up')
        void broker.publish({ ...message, qos: 0 }).catch(() => undefined);
    } else if (effect.kind === 'alarm-view') hub.send({ type: 'alarm', data: effect.view });
    else if (effect.kind === 'alarm-transition') {
      hub.send({ type: 'alarm', data: effect.transition.alarm });
      const { alarm, kind, id, row } = effect.transition;
      log.info({ alarm: alarm.alarmKey, kind, id, because: alarm.because.text, row }, 'alarm');
      sender.nudge();
    } else if (effect.kind === 'gap' && effect.gap.because.code === 'messages-lost') {
      log.warn({ id: effect.id }, effect.gap.because.text);
      broker.noteLost(effect.gap.because, effect.gap.fromMs);
    }
  }

  // Only here: what the journal holds beyond the store is folded and shown at once, and needs every part above.
  pipeline.start();
  present.restoreAlarms(openAlarms(pipeline.monitor));
  const health = openHealth({
    version: programVersion,
    dataDirectory: directory,
    journal,
    store,
    pipeline,
    broker,
    replica,
    replicaLimits: { maxRows: settings.keeping.uncopiedMaxRows, maxAgeMs: settings.keeping.uncopiedMs },
    hub,
    present,
    tally,
    log,
    now,
  });
  stops.push(health.stop);

  let simulator: SimulatorProcess | undefined;
  let stopTicks: (() => void) | undefined;
  return {
    journal,
    store,
    pipeline,
    present,
    hub,
    broker,
    replica,
    remote,
    health,
    tally,
    keeping: settings.keeping,
    knownTime,
    describeKeeping: () => ({
      kept: keptViews(settings.keeping, settings.influx),
      heldBack: knownTime.heldBack(),
    }),
    describeMessages: () => {
      const plant = pipeline.model?.plant;
      return plant === undefined
        ? {}
        : asyncApiOf(plant, brokerDescription(settings, demoBroker, plant.site.id), programVersion);
    },
    isDemo: demoBroker !== undefined,
    start: () => {
      health.start();
      broker.onChange(() => sender.nudge());
      broker.start();
      stopTicks = startTicks({
        journal,
        now,
        isCatchingUp: () => broker.isCatchingUp() || pipeline.backlog > 10_000,
      });
      replica?.start();
      if (demoBroker !== undefined) {
        simulator = startSimulator({
          program: programPaths.simulator,
          scenario: programPaths.demoScenario,
          brokerUrl: demoBroker.url,
          log,
        });
      }
    },
    stop: async () => {
      stopTicks?.();
      await simulator?.stop();
      sender.stop();
      await broker.stop();
      await pipeline.stop();
      await replica?.stop();
      for (const stop of stops.reverse()) await stop();
    },
  };
}

/** Where a station stands in the plant, for what is written beside its series. */
function placeOf(monitor: () => Pick<Monitor, 'model'> | undefined): TagsOf {
  return (winderId, stationId) => {
    const context = monitor()?.model?.stations.get(`${winderId}/${stationId}`)?.context;
    return {
      site: context?.siteId ?? 'unknown',
      area: context?.areaId ?? 'unknown',
      line: context?.lineId ?? 'unknown',
    };
  };
}

function strictUtf8(): (bytes: Uint8Array) => string {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  return (bytes) => decoder.decode(bytes);
}
