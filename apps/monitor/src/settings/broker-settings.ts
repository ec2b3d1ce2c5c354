import { z } from 'zod';
import { pathOf, urlWith } from './setting-kinds.js';
import { type ReadFile, secretFrom } from './setting-files.js';
import { SettingsError } from './settings-error.js';

export interface BrokerSettings {
  readonly url: string;
  readonly username: string | undefined;
  readonly password: string | undefined;
}

export const brokerVariables = z.object({
  MQTT_URL: urlWith(['mqtt:', 'mqtts:'], 'mqtt://broker:1883 or mqtts://broker:8883').optional(),
  MQTT_USERNAME: z.string().min(1, 'a user name').optional(),
  MQTT_PASSWORD_FILE: pathOf('a file that holds the password').optional(),
});

/** @throws SettingsError */
export function brokerSettings(
  e: z.output<typeof brokerVariables>,
  readFile: ReadFile,
): BrokerSettings | undefined {
  if (e.MQTT_URL === undefined) {
    if ((e.MQTT_USERNAME ?? e.MQTT_PASSWORD_FILE) === undefined) return undefined;
    throw new SettingsError(
      'MQTT_URL: nothing was given, but a user name or password file was; name the broker too',
    );
  }
  return {
    url: e.MQTT_URL,
    username: e.MQTT_USERNAME,
    password: secretFrom('MQTT_PASSWORD_FILE', e.MQTT_PASSWORD_FILE, 'the password', readFile),
  };
}
