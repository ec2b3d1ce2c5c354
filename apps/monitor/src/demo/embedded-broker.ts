import { createServer, type AddressInfo, type Server } from 'node:net';
import { Aedes } from 'aedes';

/** The demonstration's own MQTT broker, in this process and on loopback only (MQTT 3.1.1). */
export interface EmbeddedBroker {
  readonly url: string;
  readonly stop: () => Promise<void>;
}

export async function startEmbeddedBroker(): Promise<EmbeddedBroker> {
  const broker = await Aedes.createBroker();
  const server: Server = createServer(broker.handle);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  const { port } = server.address() as AddressInfo;
  return {
    url: `mqtt://127.0.0.1:${port}`,
    stop: async () => {
      await new Promise<void>((resolve) => broker.close(resolve));
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}
