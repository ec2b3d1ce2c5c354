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

describe('settings', () => {
  it('gives the demonstration on loopback when nothing is set', () => {
    const settings = readSettings({});
    expect(settings.plant).toBeUndefined();
    expect(settings.http).toEqual({ host: '127.0.0.1', port: 8080 });
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
    [{ HTTP_HOST: '0.0.0.0' }, 'HTTP_HOST: "0.0.0.0" was given; what is right: a loopback address'],
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
