import { describe, expect, it } from 'vitest';
import { readSettings } from './settings.js';
import { SettingsError } from './settings-error.js';

const dayMs = 86_400_000;
const url = 'http://influxdb:8086';
const read = (env: Record<string, string>) => readSettings(env, (path) => `secret of ${path}\n`).influx;
const refusal = (env: Record<string, string>): string => {
  try {
    read(env);
  } catch (error) {
    if (error instanceof SettingsError) return error.message;
  }
  throw new Error('the settings were accepted');
};

describe('settings of the long memory', () => {
  it('need an address and nothing more', () => {
    expect(read({})).toBeUndefined();
    expect(read({ INFLUX_URL: url })).toEqual({
      url,
      database: 'edge_margin',
      retentionPolicy: undefined,
      writer: {},
      reader: {},
      catchUpRowsPerS: 10_000,
      rollUpsMs: { '10s': 90 * dayMs, '1min': 730 * dayMs, '1h': null },
    });
  });

  it('let the same account read that writes, unless another is named', () => {
    const writer = { INFLUX_URL: url, INFLUX_USERNAME: 'writer', INFLUX_PASSWORD_FILE: 'w' };
    const account = { username: 'writer', password: 'secret of w' };
    expect(read(writer)).toMatchObject({ writer: account, reader: account });
    expect(read({ ...writer, INFLUX_READ_USERNAME: 'reader', INFLUX_READ_PASSWORD_FILE: 'r' })).toMatchObject(
      { writer: account, reader: { username: 'reader', password: 'secret of r' } },
    );
  });

  it('take tokens, one to write and one to read', () => {
    const tokens = { INFLUX_URL: url, INFLUX_TOKEN_FILE: 'w', INFLUX_READ_TOKEN_FILE: 'r' };
    expect(read(tokens)).toMatchObject({
      writer: { token: 'secret of w' },
      reader: { token: 'secret of r' },
    });
  });

  it('say what the retention policies of the roll-ups are made with', () => {
    const given = { INFLUX_URL: url, INFLUX_ROLL_UPS_10S_DAYS: '14', INFLUX_ROLL_UPS_1MIN_DAYS: 'unlimited' };
    expect(read(given)?.rollUpsMs).toEqual({ '10s': 14 * dayMs, '1min': null, '1h': null });
  });

  it.each([
    [
      { INFLUX_URL: url, INFLUX_ROLL_UPS_1H_DAYS: '0' },
      /^INFLUX_ROLL_UPS_1H_DAYS: "0" was given; what is right: a whole number of days from 1 to 36600, or unlimited/,
    ],
    [
      { INFLUX_READ_USERNAME: 'x' },
      /^INFLUX_URL: nothing was given, but another INFLUX setting \(INFLUX_READ_USERNAME\) was/,
    ],
    [
      { INFLUX_URL: url, INFLUX_TOKEN_FILE: 't', INFLUX_USERNAME: 'x' },
      /^INFLUX_TOKEN_FILE: .* give one of them/,
    ],
    [{ INFLUX_URL: url, INFLUX_READ_PASSWORD_FILE: 'p' }, /^INFLUX_READ_USERNAME: nothing was given/],
    [
      { INFLUX_URL: url, INFLUX_CATCH_UP_ROWS_PER_S: '0' },
      /^INFLUX_CATCH_UP_ROWS_PER_S: "0" was given; what is right: a whole number/,
    ],
    [
      { INFLUX_URL: url, INFLUX_RETENTION_POLICY: 'a b' },
      /^INFLUX_RETENTION_POLICY: "a b" was given; what is right: a retention policy/,
    ],
  ])('refuse %j in one line', (env, words) => {
    expect(refusal(env)).toMatch(words);
    expect(refusal(env)).not.toContain('\n');
  });
});
