import { type Journal, openJournal } from '@edge-margin/journal';
import { type Effect, type Monitor, openAlarms } from '@edge-margin/monitoring';
import { readPlant } from '@edge-margin/plant';
import { type DataDirLock, lockDataDir, openStore, type Store } from '@edge-margin/store-sqlite';
import { createReplica, type Replica } from '@edge-margin/store-influx';
import { subscriptions } from '@edge-margin/telemetry';
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Logger } from 'pino';
import { type EmbeddedBroker, startEmbeddedBroker } from './demo/embedded-broker.js';
import { type SimulatorProcess, startSimulator } from './demo/simulator-process.js';
import { type BrokerClient, createBrokerClient } from './ingest/broker-client.js';
import { startTicks } from './ingest/ticks.js';
import { LiveHub } from './live/live-hub.js';
import { Pipeline } from './monitoring/pipeline.js';
import { Present } from './monitoring/present.js';
import { assessmentMessage, outboxMessages, siteTopic } from './notify/mqtt-messages.js';
import { OutboxSender } from './notify/outbox-sender.js';
import { programPaths } from './program-paths.js';
import { pipelineStore } from './records/store-effects.js';
import type { Settings } from './settings/settings.js';
import { SettingsError } from './settings/settings-error.js';

/** The running parts behind the HTTP side. */
export interface Runtime {
  readonly journal: Journal;
  readonly store: Store;
  readonly pipeline: Pipeline;
  readonly present: Present;
  readonly hub: LiveHub;
  readonly broker: BrokerClient;
  readonly replica: Replica | undefined;
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
  const plantFile = readPlantFile(settings.plant?.file ?? programPaths.demoPlant, log);
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
  stops.push(() => journal.close());
  journal.onFailure((error) =>
    log.error({ err: error }, 'the journal cannot be written; nothing is acknowledged until it can'),
  );
  journal.onRecovery(() => log.info('the journal can be written again'));

  const hub = new LiveHub(now());
  const present = new Present();
  stops.push(() => hub.close());
  let monitor: Monitor | undefined;
  const pipeline = new Pipeline({
    journal,
    store: pipelineStore(store, (effect) => outboxMessages(monitor?.model, effect)),
    dependencies: { textDecoder: strictUtf8() },
    log,
    now,
    onCommitted: (effects, current) => {
      if (current.model !== undefined && current.model !== monitor?.model)
        present.usePlant(current.model.plant);
      monitor = current;
      for (const effect of effects) show(effect);
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
  const broker = openBroker(settings, demoBroker, plantFile, { journal, log, now });
  const sender = new OutboxSender({
    outbox: store.outbox,
    publish: (message) => broker.publish({ ...message, qos: message.qos === 0 ? 0 : 1 }),
    canEverSend: (message) => Buffer.byteLength(message.payload) < 200_000,
    isConnected: () => broker.link().state === 'up',
    now,
    log,
  });
  const replica = openReplica(settings, store, () => monitor);

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
      const { alarm, kind, id } = effect.transition;
      log.info({ alarm: alarm.alarmKey, kind, id, because: alarm.because.text }, 'alarm');
      sender.nudge();
    }
  }

  // Only here: what the journal holds beyond the store is folded and shown at once, and needs every part above.
  pipeline.start();
  present.restoreAlarms(openAlarms(pipeline.monitor));

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
    isDemo: demoBroker !== undefined,
    start: () => {
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

interface PlantText {
  readonly text: string;
  readonly revision: string;
  readonly siteId: string;
  readonly filters: readonly string[];
}

function readPlantFile(path: string, log: Logger): PlantText {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new SettingsError(
      `PLANT_FILE: "${path}" was given, but it cannot be read (${(error as Error).message}); a readable plant file is needed`,
    );
  }
  const read = readPlant(text);
  for (const { line, path: at, expected } of read.warnings) log.warn({ line, at }, `plant file: ${expected}`);
  if (!read.ok) {
    const [first] = read.problems;
    const where = first === undefined ? '' : `line ${first.line}, ${first.path}: ${first.expected}; `;
    throw new SettingsError(
      `PLANT_FILE: "${path}" has ${read.problems.length} problems (${where}all of them: npm run --silent cli -- check ${path})`,
    );
  }
  const revision = createHash('sha256').update(text).digest('hex').slice(0, 12);
  return { text, revision, siteId: read.plant.site.id, filters: subscriptions(read.plant) };
}

function openBroker(
  settings: Settings,
  demo: EmbeddedBroker | undefined,
  plant: PlantText,
  parts: { readonly journal: Journal; readonly log: Logger; readonly now: () => number },
): BrokerClient {
  const site = siteTopic(plant.siteId);
  const given = settings.plant?.broker;
  const url = given?.url ?? demo?.url;
  if (url === undefined) throw new Error('neither a broker nor the demonstration');
  return createBrokerClient({
    ...parts,
    url,
    ...(given?.username === undefined ? {} : { username: given.username }),
    ...(given?.password === undefined ? {} : { password: given.password }),
    clientId: `edge-margin-${plant.siteId}`,
    subscriptions: plant.filters,
    // The demonstration's broker speaks MQTT 3.1.1 only.
    protocolVersion: demo === undefined ? 5 : 4,
    status: {
      topic: `${site}/status`,
      online: JSON.stringify({ online: true }),
      offline: JSON.stringify({ online: false }),
    },
    echoTopic: `${site}/echo`,
  });
}

function openReplica(
  settings: Settings,
  store: Store,
  monitor: () => Monitor | undefined,
): Replica | undefined {
  const { influx } = settings;
  if (influx === undefined) return undefined;
  return createReplica({
    url: influx.url,
    database: influx.database,
    ...(influx.username === undefined ? {} : { username: influx.username }),
    ...(influx.password === undefined ? {} : { password: influx.password }),
    store: store.replica,
    tagsOf: (winderId: string, stationId: string) => {
      const context = monitor()?.model?.stations.get(`${winderId}/${stationId}`)?.context;
      return {
        site: context?.siteId ?? 'unknown',
        area: context?.areaId ?? 'unknown',
        line: context?.lineId ?? 'unknown',
      };
    },
  });
}

function strictUtf8(): (bytes: Uint8Array) => string {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  return (bytes) => decoder.decode(bytes);
}
