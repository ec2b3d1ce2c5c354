import 'reflect-metadata';
import {
  BasicConstraintsExtension,
  ExtendedKeyUsage,
  ExtendedKeyUsageExtension,
  type JsonGeneralName,
  KeyUsageFlags,
  KeyUsagesExtension,
  PemConverter,
  SubjectAlternativeNameExtension,
  type X509Certificate,
  X509CertificateGenerator,
} from '@peculiar/x509';
import { webcrypto } from 'node:crypto';
import { isIP } from 'node:net';

/** An authority made for a test. */
export interface Authority {
  /** Its own certificate, PEM. */
  readonly ca: string;
  readonly issue: (wanted: Wanted) => Promise<Issued>;
}

export interface Wanted {
  readonly name: string;
  /** Names and addresses that a server is reached by; none for a client. */
  readonly hosts?: readonly string[];
  /** Days from now; from yesterday for a month where left out. */
  readonly fromDays?: number;
  readonly toDays?: number;
}

/** PEM texts. */
export interface Issued {
  readonly cert: string;
  readonly key: string;
}

const algorithm = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' };
const dayMs = 24 * 3_600_000;
const inDays = (days: number): Date => new Date(Date.now() + days * dayMs);

function newKeys(): Promise<webcrypto.CryptoKeyPair> {
  return webcrypto.subtle.generateKey(algorithm, true, ['sign', 'verify']);
}

async function pemOf(key: webcrypto.CryptoKey): Promise<string> {
  return PemConverter.encode(await webcrypto.subtle.exportKey('pkcs8', key), 'PRIVATE KEY');
}

/** An authority with a key of its own; two with the same name are still two. */
export async function makeAuthority(name: string): Promise<Authority> {
  const keys = await newKeys();
  const root = await X509CertificateGenerator.createSelfSigned(
    {
      serialNumber: '01',
      name: `CN=${name}`,
      notBefore: inDays(-365),
      notAfter: inDays(365),
      signingAlgorithm: algorithm,
      keys,
      extensions: [
        new BasicConstraintsExtension(true, undefined, true),
        new KeyUsagesExtension(KeyUsageFlags.keyCertSign | KeyUsageFlags.cRLSign, true),
      ],
    },
    webcrypto as Crypto,
  );
  let serial = 1;
  return {
    ca: root.toString('pem'),
    issue: (wanted) => {
      serial += 1;
      return issue(wanted, root, keys.privateKey, serial);
    },
  };
}

async function issue(
  { name, hosts = [], fromDays = -1, toDays = 30 }: Wanted,
  root: X509Certificate,
  signingKey: webcrypto.CryptoKey,
  serial: number,
): Promise<Issued> {
  const keys = await newKeys();
  const names = hosts.map((host): JsonGeneralName => ({
    type: isIP(host) === 0 ? 'dns' : 'ip',
    value: host,
  }));
  const usage = hosts.length > 0 ? ExtendedKeyUsage.serverAuth : ExtendedKeyUsage.clientAuth;
  const certificate = await X509CertificateGenerator.create(
    {
      serialNumber: serial.toString(16).padStart(2, '0'),
      subject: `CN=${name}`,
      issuer: root.subject,
      notBefore: inDays(fromDays),
      notAfter: inDays(toDays),
      signingAlgorithm: algorithm,
      publicKey: keys.publicKey,
      signingKey,
      extensions: [
        new ExtendedKeyUsageExtension([usage]),
        ...(names.length > 0 ? [new SubjectAlternativeNameExtension(names)] : []),
      ],
    },
    webcrypto as Crypto,
  );
  return { cert: certificate.toString('pem'), key: await pemOf(keys.privateKey) };
}
