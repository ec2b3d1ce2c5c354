import { openJournal } from '@edge-margin/journal';
import { Aedes } from 'aedes';
import { createSign, generateKeyPairSync } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createServer } from 'node:tls';
import { describe, expect, it, vi } from 'vitest';
import { createBrokerClient } from './broker-client.js';

const der = (tag: number, ...parts: readonly Buffer[]): Buffer => {
  const content = Buffer.concat(parts);
  const length = content.length < 128 ? [content.length] : [0x82, content.length >> 8, content.length & 0xff];
  return Buffer.concat([Buffer.from([tag, ...length]), content]);
};
const sequence = (...parts: readonly Buffer[]): Buffer => der(0x30, ...parts);
const oid = (hex: string): Buffer => der(0x06, Buffer.from(hex, 'hex'));
const utcTime = (year: number): Buffer => der(0x17, Buffer.from(`${String(year).slice(2)}0101000000Z`));

/** A certificate for 127.0.0.1, signed by its own key (RFC 5280, ECDSA P-256 with SHA-256). */
function selfSigned(): { readonly cert: string; readonly key: string } {
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const algorithm = sequence(oid('2a8648ce3d040302'));
  const name = sequence(der(0x31, sequence(oid('550403'), der(0x0c, Buffer.from('test broker')))));
  const address = sequence(der(0x87, Buffer.from([127, 0, 0, 1])));
  const extension = sequence(oid('551d11'), der(0x04, address));
  const year = new Date().getFullYear();
  const body = sequence(
    der(0xa0, der(0x02, Buffer.from([2]))),
    der(0x02, Buffer.from([1])),
    algorithm,
    name,
    sequence(utcTime(year - 1), utcTime(year + 2)),
    name,
    publicKey.export({ type: 'spki', format: 'der' }),
    der(0xa3, sequence(extension)),
  );
  const signature = createSign('sha256').update(body).sign(privateKey);
  const certificate = sequence(body, algorithm, der(0x03, Buffer.from([0]), signature));
  const lines = certificate.toString('base64').replace(/(.{64})/g, '$1\n');
  return {
    cert: `-----BEGIN CERTIFICATE-----\n${lines}\n-----END CERTIFICATE-----\n`,
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
  };
}

describe('a broker behind TLS', () => {
  it('is spoken to only where its certificate is trusted', async () => {
    const directory = mkdtempSync(join(tmpdir(), 'edge-margin-tls-'));
    const { cert, key } = selfSigned();
    const broker = await Aedes.createBroker();
    const server = createServer({ cert, key }, broker.handle);
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const url = `mqtts://127.0.0.1:${(server.address() as AddressInfo).port}`;
    const journal = await openJournal({ directory });
    const common = {
      url,
      clientId: 'monitor',
      subscriptions: ['plant/#'],
      protocolVersion: 4,
      journal,
    } as const;
    const more = { now: Date.now, log: { info: vi.fn(), warn: vi.fn() }, random: () => 0 };

    const doubting = createBrokerClient({ ...common, ...more });
    doubting.start();
    await vi.waitFor(() => expect(doubting.link().detail).toContain('SELF_SIGNED'), 5000);
    await doubting.stop();

    const trusting = createBrokerClient({ ...common, ...more, tls: { ca: cert } });
    trusting.start();
    await vi.waitFor(() => expect(trusting.link().state).toBe('up'), 5000);
    await vi.waitFor(() => expect(trusting.subscriptions().granted).toEqual(['plant/#']));
    await trusting.stop();

    await new Promise<void>((resolve) => broker.close(resolve));
    server.close();
    await journal.close();
    rmSync(directory, { recursive: true });
  }, 15_000);
});
