import { z } from 'zod';
import { type BrokerCertificates, brokerCertificates } from './broker-certificates.js';
import { pathOf, urlWith } from './setting-kinds.js';
import { type ReadFile, secretFrom } from './setting-files.js';
import { SettingsError } from './settings-error.js';

export interface BrokerSettings {
  readonly url: string;
  readonly username: string | undefined;
  readonly password: string | undefined;
  /** Undefined: made of the site's id. */
  readonly clientId: string | undefined;
  /** Undefined: a broker over TLS is trusted where the system trusts it, and we show no certificate. */
  readonly tls: BrokerCertificates | undefined;
}

export const brokerVariables = z.object({
  MQTT_URL: urlWith(['mqtt:', 'mqtts:'], 'mqtt://broker:1883 or mqtts://broker:8883').optional(),
  MQTT_USERNAME: z.string().min(1, 'a user name').optional(),
  MQTT_PASSWORD_FILE: pathOf('a file that holds the password').optional(),
  // MQTT 5.0, 3.1.3.1: what every broker must take are 1 to 23 letters and digits; most take these 128.
  MQTT_CLIENT_ID: z
    .string()
    .regex(/^[A-Za-z0-9._-]{1,128}$/, '1 to 128 letters, digits, dots, _ and -, used by no other client')
    .optional(),
  MQTT_CA_FILE: pathOf('a file with the certificates (PEM) of the authorities to trust').optional(),
  MQTT_CERT_FILE: pathOf('a file with our certificate (PEM)').optional(),
  MQTT_KEY_FILE: pathOf('a file with the private key (PEM) of our certificate').optional(),
});

const names = brokerVariables.keyof().options;

/**
 * @param nowMs for the certificates' dates, epoch ms
 * @throws SettingsError
 */
export function brokerSettings(
  e: z.output<typeof brokerVariables>,
  readFile: ReadFile,
  nowMs: number = Date.now(),
): BrokerSettings | undefined {
  const url = e.MQTT_URL;
  if (url === undefined) {
    const given = names.find((name) => e[name] !== undefined);
    if (given === undefined) return undefined;
    throw new SettingsError(`MQTT_URL: nothing was given, but ${given} was; name the broker too`);
  }
  return {
    url,
    username: e.MQTT_USERNAME,
    password: secretFrom('MQTT_PASSWORD_FILE', e.MQTT_PASSWORD_FILE, 'the password', readFile),
    clientId: e.MQTT_CLIENT_ID,
    tls: brokerCertificates(e, url, readFile, nowMs),
  };
}
