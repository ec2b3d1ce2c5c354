import type { MqttClient } from 'mqtt';
import type { Connections } from './connections.js';
import type { Publication } from './publisher.js';

export interface Leaving {
  readonly client: Pick<MqttClient, 'connected'> & {
    /** What was sent and is not answered yet, by message id. */
    readonly outgoing: Readonly<Record<number, unknown>>;
    readonly endAsync: (force: boolean) => Promise<void>;
  };
  readonly connections: Pick<Connections, 'stopReading' | 'cut'>;
  /** Said before we go, where there is a connection to say it on. */
  readonly lastWord: Publication | undefined;
  readonly publish: (publication: Publication) => Promise<void>;
}

const patienceMs = 5000;

/** Ends the connection for good: says the last word, lets out what is held back, and disconnects; all of it within some seconds. */
export async function leaveBroker({ client, connections, lastWord, publish }: Leaving): Promise<void> {
  let giveUp = (): void => undefined;
  const patienceOver = new Promise<void>((resolve) => (giveUp = resolve));
  const deadline = setTimeout(() => {
    connections.cut();
    giveUp();
  }, patienceMs);
  if (client.connected && lastWord !== undefined) await publish(lastWord).catch(() => undefined);
  // The client would wait for ever for answers that cannot come any more.
  while (client.connected && Object.keys(client.outgoing).length > 0) await pause(10);
  connections.stopReading();
  // What was read is handled and acknowledged within this turn; only then may the stream end.
  await pause(0);
  // What others published within that turn may wait for an answer that cannot come any more, and the client would wait with it for ever.
  await Promise.race([client.endAsync(!client.connected), patienceOver]);
  clearTimeout(deadline);
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
