import { type Reason, reason } from '@edge-margin/units';
import type { BrokerAddress } from './open-socket.js';
import { wordsOfCode } from './reason-codes.js';

/** How far a connection has come: TCP, TLS handshake, waiting for the broker's answer to CONNECT, connected. */
export type ConnectionPhase = 'connecting' | 'securing' | 'introducing' | 'up';

/** What a failure has to be seen against. */
export interface Attempt {
  readonly address: BrokerAddress;
  readonly phase: ConnectionPhase;
  /** Whether `MQTT_CA_FILE` says whom to trust, instead of the system. */
  readonly hasCa: boolean;
  /** Whether we have a client certificate. */
  readonly hasCertificate: boolean;
  readonly connectTimeoutMs: number;
}

/** An error of the socket, of TLS or of the MQTT client. */
export type ConnectionError = Error & {
  readonly code?: unknown;
  readonly host?: unknown;
  readonly cert?: { readonly subjectaltname?: unknown };
};

/**
 * Why there is no connection, in words that say what to look at, with the error's own code behind them.
 * Codes: `uv_strerror` names of libuv, OpenSSL's `X509_V_ERR_*` and TLS alerts (RFC 8446, section 6) as Node names them, MQTT reason codes.
 */
export function connectionFailure(error: ConnectionError, attempt: Attempt): Reason {
  const { code, message } = error;
  if (message === 'connack timeout') return silence(attempt);
  if (message === 'Keepalive timeout')
    return failure('silent', 'the broker did not answer any more, not even to a ping');
  if (typeof code === 'number') return answeredWith(code, message, attempt);
  if (typeof code !== 'string') return failure('other', message === '' ? 'the connection failed' : message);
  const words =
    code === 'ERR_TLS_CERT_ALTNAME_INVALID'
      ? otherName(error, attempt)
      : (network(code, attempt) ?? certificate(code, attempt) ?? alert(code, attempt));
  return failure(code, words === undefined ? message || 'the connection failed' : words, code);
}

/** Why the broker closed a connection without a word. */
export function closedWithoutWord(attempt: Attempt): Reason {
  const { address, phase } = attempt;
  if (phase === 'up') return failure('closed', 'the connection was closed');
  return failure('closed', `${placeOf(address)} closed the connection before it answered; ${guess(attempt)}`);
}

/** What is usual where a broker ends a connection before it has said anything. */
function guess({ address, phase, hasCertificate }: Attempt): string {
  if (!address.isTls) return 'does it expect TLS (mqtts://)?';
  if (phase !== 'introducing') return 'does it speak TLS?';
  return hasCertificate
    ? 'does it refuse our certificate (MQTT_CERT_FILE)?'
    : 'does it want a client certificate (MQTT_CERT_FILE, MQTT_KEY_FILE)?';
}

function failure(cause: string, text: string, code = ''): Reason {
  const shown = code === '' || text.includes(code) ? text : `${text} (${code})`;
  return reason('link-down', shown, { cause });
}

function placeOf({ host, port }: BrokerAddress): string {
  return host.includes(':') ? `[${host}]:${port}` : `${host}:${port}`;
}

function silence({ address, phase, connectTimeoutMs }: Attempt): Reason {
  const at = placeOf(address);
  const within = `${connectTimeoutMs / 1000} s`;
  if (phase === 'connecting') return failure('silent', `no answer from ${at} within ${within}`);
  if (phase === 'securing') {
    const text = `${at} took the connection, but did not finish the TLS handshake within ${within}; does it speak TLS?`;
    return failure('silent', text);
  }
  return failure('silent', `${at} took the connection and then said nothing for ${within}`);
}

function answeredWith(code: number, message: string, { phase }: Attempt): Reason {
  if (phase === 'up') return failure(`mqtt-${code}`, `${message}: ${wordsOfCode(code)}`);
  return failure(`mqtt-${code}`, `the broker refused the connection: ${wordsOfCode(code)}`);
}

function network(code: string, attempt: Attempt): string | undefined {
  const { address, phase } = attempt;
  const at = placeOf(address);
  switch (code) {
    case 'ECONNREFUSED':
      return `nothing listens at ${at}`;
    case 'ENOTFOUND':
      return `the name ${address.host} is not known`;
    case 'EAI_AGAIN':
      return `no name server answers for ${address.host}`;
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
    case 'EHOSTDOWN':
    case 'ENETDOWN':
      return `there is no way to ${at} in the network`;
    case 'ETIMEDOUT':
      return `no answer from ${at}`;
    case 'ECONNRESET':
    case 'EPIPE':
      return phase === 'up' || phase === 'connecting'
        ? `${at} broke the connection off`
        : `${at} broke the connection off before it answered; ${guess(attempt)}`;
    case 'ERR_SSL_WRONG_VERSION_NUMBER':
    case 'ERR_SSL_PACKET_LENGTH_TOO_LONG':
      return `what listens at ${at} does not speak TLS; mqtt:// instead of mqtts://, or another port?`;
    default:
      return undefined;
  }
}

/** Verification of the broker's certificate. */
function certificate(code: string, { hasCa }: Attempt): string | undefined {
  switch (code) {
    case 'CERT_HAS_EXPIRED':
      return "the broker's certificate, or one above it, has expired by the clock of this machine";
    case 'CERT_NOT_YET_VALID':
      return "the broker's certificate, or one above it, is not valid yet by the clock of this machine";
    case 'CERT_REVOKED':
      return "the broker's certificate is revoked";
    case 'INVALID_PURPOSE':
      return "the broker's certificate is not made for a server";
    case 'SELF_SIGNED_CERT_IN_CHAIN':
    case 'DEPTH_ZERO_SELF_SIGNED_CERT':
    case 'UNABLE_TO_VERIFY_LEAF_SIGNATURE':
    case 'UNABLE_TO_GET_ISSUER_CERT':
    case 'UNABLE_TO_GET_ISSUER_CERT_LOCALLY':
    case 'CERT_SIGNATURE_FAILURE':
    case 'CERT_UNTRUSTED':
      return hasCa
        ? "the broker's certificate is not signed by an authority of MQTT_CA_FILE"
        : "the broker's certificate is not signed by an authority that this machine trusts; MQTT_CA_FILE can name the plant's own";
    default:
      return undefined;
  }
}

/** What the broker said about us in the TLS handshake. OpenSSL prefixes the alert's name with the version that introduced it. */
function alert(code: string, { hasCertificate }: Attempt): string | undefined {
  const name = /_ALERT_(\w+)$/.exec(code)?.[1];
  switch (name) {
    case undefined:
      return undefined;
    case 'CERTIFICATE_REQUIRED':
      return 'the broker wants a client certificate (MQTT_CERT_FILE, MQTT_KEY_FILE)';
    case 'HANDSHAKE_FAILURE':
      return hasCertificate
        ? 'the broker and we find no common way for the TLS handshake'
        : 'the broker broke off the TLS handshake; does it want a client certificate (MQTT_CERT_FILE, MQTT_KEY_FILE)?';
    case 'UNKNOWN_CA':
      return 'the broker does not trust the authority that signed our certificate (MQTT_CERT_FILE)';
    case 'DECRYPT_ERROR':
      return hasCertificate
        ? 'the broker could not verify our certificate (MQTT_CERT_FILE); is it signed by the very authority that the broker trusts?'
        : 'the broker broke off TLS: what we sent did not fit';
    case 'CERTIFICATE_EXPIRED':
      return 'the broker says that our certificate (MQTT_CERT_FILE) has expired';
    case 'CERTIFICATE_REVOKED':
      return 'the broker says that our certificate (MQTT_CERT_FILE) is revoked';
    case 'BAD_CERTIFICATE':
    case 'CERTIFICATE_UNKNOWN':
    case 'UNSUPPORTED_CERTIFICATE':
    case 'ACCESS_DENIED':
      return 'the broker refuses our certificate (MQTT_CERT_FILE)';
    case 'PROTOCOL_VERSION':
    case 'INSUFFICIENT_SECURITY':
      return 'the broker speaks no version of TLS that we do: 1.2 or newer is needed';
    default:
      return `the broker broke off TLS: ${name.toLowerCase().replaceAll('_', ' ')}`;
  }
}

const longestNames = 120;

function otherName({ cert }: ConnectionError, { address }: Attempt): string {
  const given = typeof cert?.subjectaltname === 'string' ? cert.subjectaltname : '';
  const names = given.replaceAll(/(DNS|IP Address|URI):/g, '').replaceAll(/[^\x20-\x7e]/g, '?');
  const shown = names.length > longestNames ? `${names.slice(0, longestNames)}…` : names;
  return shown === ''
    ? `the broker's certificate names no host, so it is not for ${address.host}`
    : `the broker's certificate is for ${shown}, not for ${address.host}`;
}
