import type { Journal } from '@edge-margin/journal';
import { join } from 'node:path';
import type { Logger } from 'pino';
import type { BrokerDescription } from './docs/asyncapi.js';
import type { EmbeddedBroker } from './demo/embedded-broker.js';
import { type BrokerClient, createBrokerClient } from './ingest/broker-client.js';
import { sessionFiltersIn } from './ingest/session-filters.js';
import type { SilenceGap } from './ingest/silence-gap.js';
import { siteTopic } from './notify/mqtt-messages.js';
import type { PlantText } from './plant-text.js';
import type { Settings } from './settings/settings.js';

/** The client of the plant's broker, or of the demonstration's. */
export function openBroker(
  settings: Settings,
  demo: EmbeddedBroker | undefined,
  plant: PlantText,
  parts: {
    readonly journal: Journal;
    readonly log: Logger;
    readonly now: () => number;
    readonly directory: string;
    readonly onSilence: (gap: SilenceGap) => void;
  },
): BrokerClient {
  const { directory, ...common } = parts;
  const site = siteTopic(plant.siteId);
  const given = settings.plant?.broker;
  const url = given?.url ?? demo?.url;
  if (url === undefined) throw new Error('neither a broker nor the demonstration');
  const clientId = given?.clientId ?? `edge-margin-${plant.siteId}`;
  return createBrokerClient({
    ...common,
    url,
    ...(given?.username === undefined ? {} : { username: given.username }),
    ...(given?.password === undefined ? {} : { password: given.password }),
    ...(given?.tls === undefined ? {} : { tls: given.tls }),
    clientId,
    subscriptions: plant.filters,
    expected: plant.expected,
    // The demonstration's broker speaks MQTT 3.1.1 only, and ends with this process.
    protocolVersion: demo === undefined ? 5 : 4,
    brokerLivesWithUs: demo !== undefined,
    session: sessionFiltersIn(join(directory, 'broker-session.json'), { url, clientId }),
    status: {
      topic: `${site}/status`,
      online: JSON.stringify({ online: true }),
      offline: JSON.stringify({ online: false }),
    },
    echoTopic: `${site}/echo`,
  });
}

/** The same connection, for the description of the messages. */
export function brokerDescription(
  settings: Settings,
  demo: EmbeddedBroker | undefined,
  siteId: string,
): BrokerDescription {
  const given = settings.plant?.broker;
  return {
    url: given?.url ?? demo?.url ?? 'mqtt://localhost',
    clientId: given?.clientId ?? `edge-margin-${siteId}`,
    hasUserName: given?.username !== undefined,
    hasCertificate: given?.tls?.cert !== undefined,
    protocolVersion: demo === undefined ? 5 : 4,
  };
}
