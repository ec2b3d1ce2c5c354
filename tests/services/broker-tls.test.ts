import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { TlsSettings } from '../../apps/monitor/src/ingest/open-socket.js';
import { type Authority, type Issued, makeAuthority } from './support/certificates.js';
import { eventually } from './support/eventually.js';
import { type Ingest, startIngest } from './support/ingest.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';

const host = '127.0.0.1';
const endings: (() => Promise<unknown> | void)[] = [];
let plant: Authority;
let stranger: Authority;
let namesake: Authority;
let directory: string;

beforeAll(async () => {
  plant = await makeAuthority('Plant authority');
  stranger = await makeAuthority('Other authority');
  namesake = await makeAuthority('Plant authority');
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-tls-'));
  return () => rmSync(directory, { recursive: true });
});
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await end();
});

/** A broker over TLS; what it needs lies in files that a test may write anew. */
async function tlsBroker(own: Issued, more = ''): Promise<Mosquitto> {
  present(own);
  writeFileSync(join(directory, 'ca.pem'), plant.ca);
  const broker = await startMosquitto({
    access: [
      'allow_anonymous true',
      `certfile ${directory}/broker.pem`,
      `keyfile ${directory}/broker.key`,
      `cafile ${directory}/ca.pem`,
      more,
    ].join('\n'),
  });
  endings.push(broker.dispose);
  return broker;
}

function present({ cert, key }: Issued): void {
  writeFileSync(join(directory, 'broker.pem'), cert);
  writeFileSync(join(directory, 'broker.key'), key, { mode: 0o600 });
}

async function ingestAt(url: string, tls: TlsSettings): Promise<Ingest> {
  const ingest = await startIngest({ url, tls });
  endings.push(ingest.stop);
  return ingest;
}

const tlsUrl = ({ port }: Mosquitto): string => `mqtts://${host}:${port}`;
const detail = (ingest: Ingest): Promise<string> => eventually(() => ingest.client.link().detail, 'a reason');
const subscribed = (ingest: Ingest): Promise<boolean> =>
  eventually(
    () => (ingest.client.subscriptions().granted.length > 0 ? true : undefined),
    'subscribed',
    30_000,
  );

describe("the broker's certificate", () => {
  it('is trusted where an authority of MQTT_CA_FILE has signed it for the host', async () => {
    const broker = await tlsBroker(await plant.issue({ name: 'broker', hosts: [host] }));
    const ingest = await ingestAt(tlsUrl(broker), { ca: plant.ca });
    await subscribed(ingest);
    expect(ingest.troubles()).toEqual([]);
  });

  it.each([
    ['expired', { hosts: [host], fromDays: -30, toDays: -1 }, 'has expired by the clock of this machine'],
    ['not valid yet', { hosts: [host], fromDays: 1 }, 'is not valid yet'],
    ['for another host', { hosts: ['other.example'] }, `is for other.example, not for ${host}`],
  ])(
    'that is %s keeps the link down, in plain words, until the broker shows a good one',
    async (_what, wanted, words) => {
      const broker = await tlsBroker(await plant.issue({ name: 'broker', ...wanted }));
      const ingest = await ingestAt(tlsUrl(broker), { ca: plant.ca });
      expect(await detail(ingest)).toContain(`the broker's certificate`);
      expect(await detail(ingest)).toContain(words);
      expect(ingest.troubles()).toEqual(['link-down']);
      await broker.stop();
      present(await plant.issue({ name: 'broker', hosts: [host] }));
      await broker.start();
      await subscribed(ingest);
    },
  );

  it('of another authority is not trusted, though that has the same name; nor without MQTT_CA_FILE', async () => {
    const broker = await tlsBroker(await namesake.issue({ name: 'broker', hosts: [host] }));
    const doubting = await ingestAt(tlsUrl(broker), { ca: plant.ca });
    expect(await detail(doubting)).toContain('not signed by an authority of MQTT_CA_FILE');
    const without = await ingestAt(tlsUrl(broker), {});
    expect(await detail(without)).toContain("MQTT_CA_FILE can name the plant's own");
  });

  it('that ends within two weeks is told of while all still works', async () => {
    const broker = await tlsBroker(await plant.issue({ name: 'broker', hosts: [host], toDays: 10 }));
    const ingest = await ingestAt(tlsUrl(broker), { ca: plant.ca });
    await subscribed(ingest);
    expect(ingest.troubles()).toEqual(['certificate-expires']);
    expect(ingest.client.trouble()[0]).toMatchObject({ blocks: false, params: { whose: 'broker' } });
  });
});

describe('a broker that wants a client certificate', () => {
  const wanting = async (): Promise<Mosquitto> =>
    tlsBroker(
      await plant.issue({ name: 'broker', hosts: [host] }),
      'require_certificate true\nuse_identity_as_username true',
    );

  it('takes ours', async () => {
    const broker = await wanting();
    const ingest = await ingestAt(tlsUrl(broker), {
      ca: plant.ca,
      ...(await plant.issue({ name: 'edge-margin' })),
    });
    await subscribed(ingest);
    expect(broker.log()).toContain("u'edge-margin'");
  });

  it.each([
    ['none', async () => ({}), /^the broker wants a client certificate \(MQTT_CERT_FILE, MQTT_KEY_FILE\)/],
    [
      'one of another authority',
      async () => stranger.issue({ name: 'edge-margin' }),
      /^the broker does not trust the authority that signed our certificate/,
    ],
    [
      'one of another authority with the name of the right one',
      async () => namesake.issue({ name: 'edge-margin' }),
      /^the broker could not verify our certificate/,
    ],
    [
      'one that has expired',
      async () => plant.issue({ name: 'edge-margin', fromDays: -9, toDays: -2 }),
      /our certificate \(MQTT_CERT_FILE\) has expired/,
    ],
  ] as const)('refuses us with %s, and the link says why', async (_what, own, words) => {
    const broker = await wanting();
    const ingest = await ingestAt(tlsUrl(broker), { ca: plant.ca, ...(await own()) });
    await eventually(() => ingest.client.link().detail?.match(words) ?? undefined, String(words));
    expect(ingest.client.link().state).toBe('down');
  });
});

describe('the wrong kind of port', () => {
  it('is named where TLS is spoken to a port without, and the other way round', async () => {
    const broker = await tlsBroker(await plant.issue({ name: 'broker', hosts: [host] }));
    const plain = await startMosquitto();
    endings.push(plain.dispose);
    const toPlain = await ingestAt(tlsUrl(plain), { ca: plant.ca });
    const toTls = await ingestAt(`mqtt://${host}:${broker.port}`, {});
    expect(await detail(toTls)).toContain('does it expect TLS (mqtts://)?');
    expect(await detail(toPlain)).toMatch(/TLS/);
  });
});
