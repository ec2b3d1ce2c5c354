import type { PlantFile } from '@edge-margin/plant';
import { maximumPayloadBytes } from '../ingest/message-row.js';
import { siteTopic } from '../notify/mqtt-messages.js';
import { apiSchemas, schemasUsedBy } from './api-schemas.js';
import { type SourceChannel, sourceChannels } from './source-channels.js';

/** How the service is connected to the broker. */
export interface BrokerDescription {
  readonly url: string;
  readonly clientId: string;
  readonly hasUserName: boolean;
  readonly hasCertificate: boolean;
  readonly protocolVersion: 4 | 5;
}

/** The AsyncAPI 3 description of what the service reads and publishes: channels from the plant file, payloads from the contract's types. */
export function asyncApiOf(plant: PlantFile, broker: BrokerDescription, version: string): object {
  const site = siteTopic(plant.site.id);
  const sources = sourceChannels(plant);
  const channels = { ...Object.fromEntries(sources.map(readChannel)), ...ownChannels(site) };
  const operations = { ...Object.fromEntries(sources.map(readOperation)), ...ownOperations };
  return {
    asyncapi: '3.0.0',
    info: {
      title: 'edge-margin',
      version,
      description:
        'Winders, their risk of rough edges and alarms over MQTT. SI units; instants in epoch milliseconds. Advisory: nothing that is published here is for a machine to obey.',
      license: { name: 'Apache-2.0', url: 'https://www.apache.org/licenses/LICENSE-2.0' },
    },
    defaultContentType: 'application/json',
    servers: { broker: serverOf(broker, site) },
    channels,
    operations,
    components: {
      schemas: schemasUsedBy(channels, apiSchemas()),
      ...(broker.hasUserName || broker.hasCertificate ? { securitySchemes: securityOf(broker) } : {}),
    },
  };
}

function serverOf({ url, clientId, protocolVersion, ...broker }: BrokerDescription, site: string): object {
  const { host, protocol } = new URL(url);
  const schemes = Object.keys(securityOf(broker));
  return {
    host,
    protocol: protocol === 'mqtts:' ? 'secure-mqtt' : 'mqtt',
    protocolVersion: protocolVersion === 5 ? '5.0' : '3.1.1',
    description: 'The broker of the plant',
    ...(schemes.length === 0
      ? {}
      : { security: schemes.map((name) => ({ $ref: `#/components/securitySchemes/${name}` })) }),
    bindings: {
      mqtt: {
        clientId,
        cleanSession: false,
        keepAlive: 60,
        lastWill: {
          topic: `${site}/status`,
          qos: 1,
          retain: true,
          message: JSON.stringify({ online: false }),
        },
        ...(protocolVersion === 5
          ? { sessionExpiryInterval: 86_400, maximumPacketSize: maximumPayloadBytes }
          : {}),
        bindingVersion: '0.2.0',
      },
    },
  };
}

function securityOf({
  hasUserName,
  hasCertificate,
}: Pick<BrokerDescription, 'hasUserName' | 'hasCertificate'>): Record<string, object> {
  return {
    ...(hasUserName
      ? { password: { type: 'userPassword', description: 'MQTT user name and password' } }
      : {}),
    ...(hasCertificate ? { certificate: { type: 'X509', description: 'Client certificate' } } : {}),
  };
}

function readChannel(source: SourceChannel): [string, object] {
  const { id, address, parameters, filter, payload, contentType, summary } = source;
  return [
    id,
    {
      address,
      summary,
      ...(Object.keys(parameters).length === 0 ? {} : { parameters }),
      messages: { readings: { name: 'readings', contentType, payload } },
      'x-subscribed-as': filter,
    },
  ];
}

function readOperation({ id, summary }: SourceChannel): [string, object] {
  return [`read${id.charAt(0).toUpperCase()}${id.slice(1)}`, operation('receive', id, summary, 1)];
}

const station = {
  area: { description: 'Id of an area in the plant file' },
  line: { description: 'Id of a line' },
  winder: { description: 'Id of a winder' },
  station: { description: 'Id of a station' },
};
const alarmKey = { description: '`winder.station.mechanism`, or `service.site.trouble`' };

function ownChannels(site: string): Readonly<Record<string, object>> {
  const json = (name: string, type: string, summary: string) => ({
    [name]: {
      name,
      summary,
      contentType: 'application/json',
      payload: { $ref: `#/components/schemas/${type}` },
    },
  });
  const below = `${site}/{area}/{line}/{winder}/{station}`;
  return {
    status: {
      address: `${site}/status`,
      summary: 'Whether the service is there',
      messages: json('status', 'StatusMessage', 'At each connection, at the stop, and as the will'),
    },
    echo: {
      address: `${site}/echo`,
      summary: 'What the service sends to itself to find the end of the broker’s backlog',
      messages: { echo: { name: 'echo', contentType: 'text/plain', payload: { type: 'string' } } },
      'x-subscribed-as': `${site}/echo`,
    },
    assessment: {
      address: `${below}/assessment`,
      summary: 'The latest assessment of a station',
      parameters: station,
      messages: json('assessment', 'AssessmentMessage', 'Once a grid time'),
    },
    alarm: {
      address: `${below}/alarm/{alarmKey}`,
      summary: 'An alarm of a station',
      parameters: { ...station, alarmKey },
      messages: json('alarm', 'AlarmMessage', 'After each transition'),
    },
    serviceAlarm: {
      address: `${site}/service/alarm/{alarmKey}`,
      summary: 'An alarm of the service itself, for maintenance',
      parameters: { alarmKey },
      messages: json('alarm', 'AlarmMessage', 'After each transition'),
    },
  };
}

const ownOperations = {
  sendStatus: operation('send', 'status', 'Says whether the service is there', 1, true),
  sendEcho: operation('send', 'echo', 'Asks where the backlog ends', 1),
  readEcho: operation('receive', 'echo', 'Sees where the backlog ends', 1),
  sendAssessment: operation('send', 'assessment', 'Publishes the latest assessment', 0, true),
  sendAlarm: operation('send', 'alarm', 'Publishes an alarm of a station', 1, true),
  sendServiceAlarm: operation('send', 'serviceAlarm', 'Publishes an alarm of the service itself', 1, true),
};

function operation(
  action: 'send' | 'receive',
  channel: string,
  summary: string,
  qos: 0 | 1,
  retain = false,
): object {
  return {
    action,
    channel: { $ref: `#/channels/${channel}` },
    summary,
    bindings: { mqtt: { qos, ...(action === 'send' ? { retain } : {}), bindingVersion: '0.2.0' } },
  };
}
