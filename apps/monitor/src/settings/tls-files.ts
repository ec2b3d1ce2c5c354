import { createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto';
import { isIP } from 'node:net';
import { type ReadFile, textFrom } from './setting-files.js';
import { SettingsError } from './settings-error.js';

export interface TlsFiles {
  readonly certFile: string;
  readonly keyFile: string;
}

/** A certificate with its key, read and checked. */
export interface TlsPair {
  readonly cert: string;
  readonly key: string;
  readonly endsAtMs: number;
}

export interface TlsCheck {
  readonly readFile: ReadFile;
  readonly nowMs: number;
  /** Names that the certificate must be for. */
  readonly allowedHosts: readonly string[];
}

/**
 * Reads certificate and key and checks that they belong together, are valid now, and are for the names under which the service is reached.
 * @throws SettingsError
 */
export function readTlsFiles(
  { certFile, keyFile }: TlsFiles,
  { readFile, nowMs, allowedHosts }: TlsCheck,
): TlsPair {
  const cert = textFrom('HTTP_TLS_CERT_FILE', certFile, 'a certificate (PEM)', readFile) ?? '';
  const key = textFrom('HTTP_TLS_KEY_FILE', keyFile, 'its private key (PEM)', readFile) ?? '';
  const certificate = certificateOf(cert, certFile);
  if (!certificate.checkPrivateKey(privateKeyOf(key, keyFile)))
    throw new SettingsError(
      `HTTP_TLS_KEY_FILE: "${keyFile}" was given, but it is not the key of the certificate in "${certFile}"; the two must belong together`,
    );
  const refuse = (because: string): never => {
    throw new SettingsError(`HTTP_TLS_CERT_FILE: "${certFile}" was given, but ${because}`);
  };
  const [fromMs, endsAtMs] = [Date.parse(certificate.validFrom), Date.parse(certificate.validTo)];
  const day = (atMs: number): string => new Date(atMs).toISOString();
  if (nowMs >= endsAtMs) refuse(`the certificate expired at ${day(endsAtMs)}; a valid one is needed`);
  if (nowMs < fromMs)
    refuse(
      `the certificate is valid only from ${day(fromMs)}; a valid one is needed (or the clock is wrong)`,
    );
  const foreign = allowedHosts.find((name) => !isFor(certificate, name));
  if (foreign !== undefined)
    refuse(
      `it is for ${certificate.subjectAltName ?? 'no name'} and not for "${foreign}" of HTTP_ALLOWED_HOSTS; one for every name there is needed`,
    );
  return { cert, key, endsAtMs };
}

function isFor(certificate: X509Certificate, name: string): boolean {
  return (isIP(name) === 0 ? certificate.checkHost(name) : certificate.checkIP(name)) !== undefined;
}

function certificateOf(pem: string, file: string): X509Certificate {
  try {
    return new X509Certificate(pem);
  } catch {
    throw new SettingsError(
      `HTTP_TLS_CERT_FILE: "${file}" was given, but it holds no certificate; PEM text that begins with -----BEGIN CERTIFICATE----- is right`,
    );
  }
}

function privateKeyOf(pem: string, file: string): KeyObject {
  try {
    return createPrivateKey(pem);
  } catch {
    throw new SettingsError(
      `HTTP_TLS_KEY_FILE: "${file}" was given, but it holds no private key that can be read; PEM text without a passphrase is right`,
    );
  }
}
