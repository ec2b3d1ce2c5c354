import 'reflect-metadata';
import { webcrypto } from 'node:crypto';
import * as x509 from '@peculiar/x509';
import { beforeAll, describe, expect, it } from 'vitest';
import { readSettings } from './settings.js';

x509.cryptoProvider.set(webcrypto as unknown as Crypto);
const algorithm = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' };
const nowMs = Date.parse('2026-11-25T12:00:00Z');

async function pair(
  from: string,
  to: string,
  names: readonly string[],
): Promise<{ cert: string; key: string }> {
  const keys = await webcrypto.subtle.generateKey(algorithm, true, ['sign', 'verify']);
  const certificate = await x509.X509CertificateGenerator.createSelfSigned({
    name: 'CN=test',
    notBefore: new Date(from),
    notAfter: new Date(to),
    signingAlgorithm: algorithm,
    keys,
    extensions: [
      new x509.SubjectAlternativeNameExtension(
        names.map((value) => ({ type: /^\d/.test(value) ? ('ip' as const) : ('dns' as const), value })),
      ),
    ],
  });
  const key = x509.PemConverter.encode(
    await webcrypto.subtle.exportKey('pkcs8', keys.privateKey),
    'PRIVATE KEY',
  );
  return { cert: certificate.toString('pem'), key };
}

describe('certificate and key', () => {
  const files: Record<string, string> = { 'not.pem': 'hello' };
  beforeAll(async () => {
    const put = async (name: string, ...of: Parameters<typeof pair>): Promise<void> => {
      const { cert, key } = await pair(...of);
      files[`${name}.crt`] = cert;
      files[`${name}.key`] = key;
    };
    await put('good', '2026-01-01', '2027-01-01', ['winders.mill.example', '10.1.2.3']);
    await put('old', '2025-01-01', '2026-11-25T11:59:59Z', ['winders.mill.example']);
    await put('early', '2026-12-01', '2027-12-01', ['winders.mill.example']);
  });

  const read = (cert: string, key: string, hosts = 'winders.mill.example') =>
    readSettings(
      {
        PLANT_FILE: 'p',
        MQTT_URL: 'mqtt://b',
        HTTP_HOST: '0.0.0.0',
        HTTP_ALLOWED_HOSTS: hosts,
        HTTP_TLS_CERT_FILE: cert,
        HTTP_TLS_KEY_FILE: key,
      },
      (path) => {
        const text = files[path];
        if (text === undefined) throw new Error('ENOENT');
        return text;
      },
      nowMs,
    );

  it('that belong together, hold now and have the names are taken, for an address beyond loopback', () => {
    expect(read('good.crt', 'good.key').http).toMatchObject({
      host: '0.0.0.0',
      tls: { certFile: 'good.crt', keyFile: 'good.key' },
      allowedHosts: ['winders.mill.example'],
      openViewing: false,
    });
    expect(() => read('good.crt', 'good.key', 'winders.mill.example, 10.1.2.3')).not.toThrow();
  });

  it.each([
    ['old.crt', 'old.key', /HTTP_TLS_CERT_FILE: "old.crt".*expired at 2026-11-25T11:59:59/],
    ['early.crt', 'early.key', /HTTP_TLS_CERT_FILE: "early.crt".*valid only from 2026-12-01/],
    ['good.crt', 'old.key', /HTTP_TLS_KEY_FILE: "old.key".*not the key of the certificate in "good.crt"/],
    ['not.pem', 'good.key', /HTTP_TLS_CERT_FILE: "not.pem".*holds no certificate/],
    ['good.crt', 'not.pem', /HTTP_TLS_KEY_FILE: "not.pem".*holds no private key/],
    ['none.crt', 'good.key', /HTTP_TLS_CERT_FILE: "none.crt".*cannot be read/],
  ])('refuses %s with %s in one line', (cert, key, message) => {
    expect(() => read(cert, key)).toThrow(message);
    expect(() => read(cert, key)).toThrow(/^.*$/);
  });

  it('refuses a certificate for other names than the allowed ones', () => {
    expect(() => read('good.crt', 'good.key', 'winders.mill.example,other.example')).toThrow(
      /not for "other.example" of HTTP_ALLOWED_HOSTS/,
    );
  });
});
