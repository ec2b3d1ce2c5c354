import mqtt, { type MqttClient } from 'mqtt';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { filmPlant } from './film-winder.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { dataDirectory, readyOf, type RunningService, startService } from './service.js';

/** The service for the film winder with a broker of its own, connected and ready, and the client that speaks for the winder's gateway. */
export interface ServedWinder {
  readonly broker: Mosquitto;
  readonly service: RunningService;
  readonly gateway: MqttClient;
  /** Ends everything and deletes its data. */
  readonly dispose: () => Promise<void>;
}

/**
 * Starts it.
 * @param settings more settings of the service, by their names
 */
export async function startServedWinder(
  settings: Readonly<Record<string, string>> = {},
): Promise<ServedWinder> {
  const folder = dataDirectory();
  const plantFile = join(folder.path, 'plant.yaml');
  writeFileSync(plantFile, filmPlant);
  const broker = await startMosquitto();
  const service = await startService({
    DATA_DIR: join(folder.path, 'data'),
    PLANT_FILE: plantFile,
    MQTT_URL: broker.url,
    ...settings,
  });
  const gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
  await readyOf(service);
  return {
    broker,
    service,
    gateway,
    dispose: async () => {
      await gateway.endAsync();
      await service.stop();
      await broker.dispose();
      folder.remove();
    },
  };
}
