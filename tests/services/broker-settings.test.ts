import { createCipheriv, generateKeyPairSync, randomBytes } from 'node:crypto';
import { beforeAll, describe, expect, it } from 'vitest';
import { brokerSettings } from '../../apps/monitor/src/settings/broker-settings.js';
import { SettingsError } from '../../apps/monitor/src/settings/settings-error.js';
import { type Authority, type Issued, makeAuthority } from './support/certificates.js';

let authority: Authority;
let own: Issued;
let files: Record<string, string>;

beforeAll(async () => {
  authority = await makeAuthority('Plant authority');
  own = await authority.issue({ name: 'edge-margin' });
  const other = await authority.issue({ name: 'other' });
  const expired = await authority.issue({ name: 'old', fromDays: -9, toDays: -2 });
  const early = await authority.issue({ name: 'new', fromDays: 2 });
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  files = {
    ca: authority.ca,
    cert: own.cert,
    key: own.key,
    'other-key': other.key,
    'expired-cert': expired.cert,
    'expired-key': expired.key,
    'early-cert': early.cert,
    'early-key': early.key,
    'old-authority': expired.cert,
    bundle: `# an old one\n${expired.cert}\n# the present one\n${authority.ca}\n`,
    'encrypted-key': privateKey
      .export({ type: 'pkcs8', format: 'pem', cipher: 'aes-256-cbc', passphrase: 'hunter2' })
      .toString(),
    empty: '',
    der: createCipheriv('aes-128-ecb', randomBytes(16), null).update(randomBytes(4000)).toString('latin1'),
    damaged: own.cert.replace(/[A-Za-z0-9+/]{40}\n/, 'AAAA\n'),
    'damaged-key': own.key.replace(/\n[A-Za-z0-9+/]{20}/, '\nAAAAAAAA'),
  };
});

function readFile(path: string): string {
  const text = files[path];
  if (text === undefined) throw new Error(`ENOENT: no such file, open '${path}'`);
  return text;
}

const broker = (env: Readonly<Record<string, string>>) =>
  brokerSettings({ MQTT_URL: 'mqtts://broker', ...env }, readFile);

function refusal(env: Readonly<Record<string, string>>): string {
  try {
    broker(env);
  } catch (error) {
    if (error instanceof SettingsError) return error.message;
  }
  throw new Error('the settings were accepted');
}

describe('certificates in the settings', () => {
  it('are read, with the day on which our own ends', () => {
    const tls = broker({ MQTT_CA_FILE: 'ca', MQTT_CERT_FILE: 'cert', MQTT_KEY_FILE: 'key' })?.tls;
    expect(tls).toMatchObject({ ca: authority.ca, cert: own.cert, key: own.key });
    expect((tls?.certEndsAtMs ?? 0) - Date.now()).toBeGreaterThan(29 * 24 * 3_600_000);
  });

  it('may be the authority alone, or none', () => {
    expect(broker({ MQTT_CA_FILE: 'ca' })?.tls).toEqual({ ca: authority.ca });
    expect(broker({})?.tls).toBeUndefined();
  });

  it('of authorities may hold old ones beside a good one', () => {
    expect(broker({ MQTT_CA_FILE: 'bundle' })?.tls?.ca).toBe(files['bundle']);
  });

  const pair = (cert: string, key: string) => ({ MQTT_CERT_FILE: cert, MQTT_KEY_FILE: key });
  it.each([
    [{ MQTT_CERT_FILE: 'cert' }, 'MQTT_KEY_FILE: nothing was given, but MQTT_CERT_FILE was'],
    [{ MQTT_KEY_FILE: 'key' }, 'MQTT_CERT_FILE: nothing was given, but MQTT_KEY_FILE was'],
    [
      { MQTT_URL: 'mqtt://broker', MQTT_CA_FILE: 'ca' },
      'MQTT_CA_FILE: "ca" was given, but MQTT_URL is no mqtts://',
    ],
    [{ MQTT_CA_FILE: 'nowhere' }, 'MQTT_CA_FILE: "nowhere" was given, but it cannot be read'],
    [
      { MQTT_CA_FILE: 'empty' },
      'MQTT_CA_FILE: "empty" was given, but there is no certificate in it; PEM is needed',
    ],
    [{ MQTT_CA_FILE: 'der' }, 'there is no certificate in it; PEM is needed'],
    [{ MQTT_CA_FILE: 'key' }, 'there is no certificate in it'],
    [{ MQTT_CA_FILE: 'damaged' }, 'a certificate in it is damaged'],
    [{ MQTT_CA_FILE: 'old-authority' }, 'MQTT_CA_FILE: "old-authority" was given, but it expired on 2'],
    [pair('expired-cert', 'expired-key'), 'MQTT_CERT_FILE: "expired-cert" was given, but it expired on 2'],
    [pair('early-cert', 'early-key'), 'MQTT_CERT_FILE: "early-cert" was given, but it is valid only from 2'],
    [
      pair('cert', 'other-key'),
      'MQTT_KEY_FILE: "other-key" was given, but it does not belong to the certificate',
    ],
    [pair('cert', 'encrypted-key'), 'MQTT_KEY_FILE: "encrypted-key" was given, but it is encrypted'],
    [pair('cert', 'cert'), 'MQTT_KEY_FILE: "cert" was given, but there is no private key in it'],
    [
      pair('cert', 'damaged-key'),
      'MQTT_KEY_FILE: "damaged-key" was given, but the private key in it is damaged',
    ],
  ])('that cannot be used are refused in one line that names the setting: %j', (env, start) => {
    const message = refusal(env);
    expect(message).toContain(start);
    expect(message).not.toContain('\n');
    expect(message).not.toContain('PRIVATE KEY-----\nM');
  });

  it('are refused where there is no broker', () => {
    expect(() => brokerSettings({ MQTT_CA_FILE: 'ca' }, readFile)).toThrow(
      'MQTT_URL: nothing was given, but MQTT_CA_FILE was',
    );
  });
});
