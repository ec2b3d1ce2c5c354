import { describe, expect, it } from 'vitest';
import { type Attempt, closedWithoutWord, connectionFailure } from './connection-failure.js';

const plain: Attempt = {
  address: { host: 'broker', port: 1883, isTls: false },
  phase: 'connecting',
  hasCa: false,
  hasCertificate: false,
  connectTimeoutMs: 15_000,
};
const secured: Attempt = {
  ...plain,
  address: { host: 'broker', port: 8883, isTls: true },
  phase: 'securing',
};
const withCode = (code: string | number, message = 'x'): Error => Object.assign(new Error(message), { code });

// Codes: libuv's names of system errors; certificate errors as Node names OpenSSL's X509_V_ERR_*; alerts of RFC 8446, section 6.
describe('why there is no connection', () => {
  it.each([
    ['ECONNREFUSED', plain, 'nothing listens at broker:1883 (ECONNREFUSED)'],
    ['ENOTFOUND', plain, 'the name broker is not known'],
    ['EHOSTUNREACH', plain, 'there is no way to broker:1883'],
    ['ECONNRESET', { ...plain, phase: 'introducing' }, 'does it expect TLS (mqtts://)?'],
    ['ECONNRESET', secured, 'does it speak TLS?'],
    ['ECONNRESET', { ...plain, phase: 'up' }, 'broker:1883 broke the connection off (ECONNRESET)'],
    ['ERR_SSL_WRONG_VERSION_NUMBER', secured, 'does not speak TLS'],
    ['CERT_HAS_EXPIRED', secured, 'has expired by the clock of this machine'],
    ['CERT_NOT_YET_VALID', secured, 'is not valid yet'],
    ['SELF_SIGNED_CERT_IN_CHAIN', secured, 'that this machine trusts'],
    [
      'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
      { ...secured, hasCa: true },
      'not signed by an authority of MQTT_CA_FILE',
    ],
    ['ERR_SSL_TLSV13_ALERT_CERTIFICATE_REQUIRED', secured, 'the broker wants a client certificate'],
    ['ERR_SSL_TLSV1_ALERT_UNKNOWN_CA', secured, 'does not trust the authority that signed our certificate'],
    ['ERR_SSL_SSLV3_ALERT_CERTIFICATE_EXPIRED', secured, 'our certificate (MQTT_CERT_FILE) has expired'],
    ['ERR_SSL_TLSV1_ALERT_PROTOCOL_VERSION', secured, '1.2 or newer is needed'],
    ['ERR_SSL_TLSV1_ALERT_INTERNAL_ERROR', secured, 'the broker broke off TLS: internal error'],
  ] as const)('%s', (code, attempt, words) => {
    const { text, params } = connectionFailure(withCode(code), attempt);
    expect(text).toContain(words);
    expect(text).toContain(code);
    expect(params).toEqual({ cause: code });
  });

  it('names the host of a certificate that is for another, with nothing in it that could deceive the eye', () => {
    const error = Object.assign(withCode('ERR_TLS_CERT_ALTNAME_INVALID'), {
      cert: { subjectaltname: 'DNS:other.example, DNS:\u202Eevil, IP Address:10.0.0.1' },
    });
    expect(connectionFailure(error, secured).text).toBe(
      "the broker's certificate is for other.example, ?evil, 10.0.0.1, not for broker (ERR_TLS_CERT_ALTNAME_INVALID)",
    );
    expect(connectionFailure(withCode('ERR_TLS_CERT_ALTNAME_INVALID'), secured).text).toContain(
      'names no host',
    );
  });

  // MQTT 5.0, table 3-1, and MQTT 3.1.1, table 3.1.
  it.each([
    [0x87, 'not authorised: user name, password, client certificate or access list (0x87)'],
    [0x86, 'bad user name or password'],
    [0x8a, 'it has banned us'],
    [5, 'not authorised'],
    [2, 'it does not take our client id'],
    [0xfe, '0xFE'],
  ])('the answer %i to CONNECT', (code, words) => {
    const { text } = connectionFailure(withCode(code, 'Connection refused'), {
      ...plain,
      phase: 'introducing',
    });
    expect(text).toContain('the broker refused the connection: ');
    expect(text).toContain(words);
  });

  it.each([
    ['connecting', 'no answer from broker:8883 within 15 s'],
    ['securing', 'did not finish the TLS handshake within 15 s'],
    ['introducing', 'took the connection and then said nothing for 15 s'],
  ] as const)('a broker that is silent while %s', (phase, words) => {
    expect(connectionFailure(new Error('connack timeout'), { ...secured, phase }).text).toContain(words);
  });

  it.each([
    [{ ...plain, phase: 'introducing' }, 'does it expect TLS'],
    [secured, 'does it speak TLS?'],
    [plain, 'does it expect TLS'],
    [{ ...secured, phase: 'introducing' }, 'does it want a client certificate'],
    [{ ...secured, phase: 'introducing', hasCertificate: true }, 'does it refuse our certificate'],
    [{ ...plain, phase: 'up' }, 'the connection was closed'],
  ] as const)('a connection that ends without a word: %j', (attempt, words) => {
    expect(closedWithoutWord(attempt).text).toContain(words);
  });

  it('puts an IPv6 address into brackets', () => {
    const address = { host: '::1', port: 1, isTls: false };
    expect(connectionFailure(withCode('ECONNREFUSED'), { ...plain, address }).text).toContain('[::1]:1');
  });
});
