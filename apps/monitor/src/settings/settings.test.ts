import { describe, expect, it } from 'vitest';
import { readSettings } from './settings.js';
import { SettingsError } from './settings-error.js';

const refusal = (env: Record<string, string>): string => {
  try {
    readSettings(env, () => 'secret\n');
  } catch (error) {
    if (error instanceof SettingsError) return error.message;
  }
  throw new Error('the settings were accepted');
};

const plant = { PLANT_FILE: 'p.yaml', MQTT_URL: 'mqtt://b' };

describe('settings', () => {
  it('gives the demonstration on loopback when nothing is set', () => {
    const settings = readSettings({});
    expect(settings.plant).toBeUndefined();
    expect(settings.http).toEqual({
      host: '127.0.0.1',
      port: 8080,
      tls: undefined,
      behindProxy: false,
      allowedHosts: ['127.0.0.1'],
      openViewing: true,
    });
    expect(settings.door).toEqual({ idleMs: 8 * 3_600_000, longestMs: 12 * 3_600_000 });
  });

  it('takes the password from its file without the line end', () => {
    const settings = readSettings(
      { PLANT_FILE: 'p.yaml', MQTT_URL: 'mqtt://b', MQTT_USERNAME: 'u', MQTT_PASSWORD_FILE: 'f' },
      () => 'secret\n',
    );
    expect(settings.plant?.broker).toEqual({ url: 'mqtt://b', username: 'u', password: 'secret' });
  });

  it.each([
    [{ HTTP_PORT: '80a' }, 'HTTP_PORT: "80a" was given; what is right: a port number'],
    [{ HTTP_PORT: '70000' }, 'HTTP_PORT: "70000" was given; what is right: a port number'],
    [{ HTTP_HOST: '0.0.0.0' }, "the demonstration's passwords are public; what is right: a loopback address"],
    [{ HTTP_BEHIND_PROXY: 'yes' }, 'HTTP_BEHIND_PROXY: "yes" was given, but the demonstration'],
    [
      { ...plant, HTTP_HOST: '0.0.0.0' },
      'HTTP_HOST: "0.0.0.0" was given, but passwords would cross the network in clear',
    ],
    [
      { ...plant, HTTP_HOST: '::', HTTP_BEHIND_PROXY: 'yes' },
      'HTTP_ALLOWED_HOSTS: nothing was given, but HTTP_HOST is "::"',
    ],
    [{ HTTP_HOST: 'winders.example' }, 'HTTP_HOST: "winders.example" was given; what is right: an address'],
    [{ HTTP_ALLOWED_HOSTS: 'http://x' }, 'HTTP_ALLOWED_HOSTS: "http://x" was given; what is right: names'],
    [{ HTTP_OPEN_VIEWING: 'true' }, 'HTTP_OPEN_VIEWING: "true" was given; what is right: yes or no'],
    [
      { ...plant, HTTP_TLS_CERT_FILE: 'c' },
      'HTTP_TLS_KEY_FILE: nothing was given, but HTTP_TLS_CERT_FILE was',
    ],
    [{ SIGN_IN_HOURS: '0' }, 'SIGN_IN_HOURS: "0" was given; what is right: a whole number of hours from 1'],
    [{ LOG_LEVEL: 'loud' }, 'LOG_LEVEL: "loud" was given; what is right: one of fatal'],
    [
      { MQTT_URL: 'tcp://x', PLANT_FILE: 'p' },
      'MQTT_URL: "tcp://x" was given; what is right: an address like mqtt://',
    ],
    [{ MQTT_URL: 'mqtt://u:p@x', PLANT_FILE: 'p' }, 'without user name and password in it'],
    [{ PLANT_FILE: 'p.yaml' }, 'MQTT_URL: nothing was given, but PLANT_FILE was'],
    [{ MQTT_URL: 'mqtt://x' }, 'PLANT_FILE: nothing was given, but MQTT_URL was'],
    [{ INFLUX_USERNAME: 'x' }, 'INFLUX_URL: nothing was given'],
    [{ MQTT_URI: 'mqtt://x' }, 'MQTT_URI: "mqtt://x" was given, but there is no such setting'],
  ])('refuses %j in one line', (env, start) => {
    const message = refusal(env);
    expect(message).toContain(start);
    expect(message).not.toContain('\n');
  });

  it('does not print a password that was put into the environment', () => {
    expect(refusal({ MQTT_PASSWORD: 'hunter2' })).not.toContain('hunter2');
  });

  it('goes beyond loopback behind a proxy, under the names that were allowed', () => {
    const given = {
      ...plant,
      HTTP_HOST: '0.0.0.0',
      HTTP_BEHIND_PROXY: 'yes',
      HTTP_ALLOWED_HOSTS: 'Winders.Example, 10.0.0.7',
    };
    expect(readSettings(given).http).toMatchObject({
      behindProxy: true,
      allowedHosts: ['winders.example', '10.0.0.7'],
      openViewing: false,
    });
  });

  it('leaves the settings of others alone', () => {
    expect(() => readSettings({ HTTP_PROXY: 'http://proxy', PATH: '/bin' })).not.toThrow();
  });

  it('names the password file that cannot be read', () => {
    const env = { PLANT_FILE: 'p', MQTT_URL: 'mqtt://b', MQTT_PASSWORD_FILE: '/nowhere/secret' };
    expect(() => readSettings(env)).toThrow(
      /MQTT_PASSWORD_FILE: "\/nowhere\/secret" was given, but it cannot be read/,
    );
  });
});
