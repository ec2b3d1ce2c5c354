import type { IClientOptions } from 'mqtt';
import { Readable } from 'node:stream';

type Store = NonNullable<IClientOptions['outgoingStore']>;

/**
 * A store for the MQTT client that keeps nothing. What must not be lost is in the outbox, which sends it again; the client's own store would
 * send it a second time after each reconnection, and one message the broker refuses (larger than it allows, say) would then end
 * every connection before it is usable.
 */
export function forgetfulStore(): Store {
  const store = {
    put: (_packet: unknown, done: () => void) => {
      done();
      return store;
    },
    createStream: () => new Readable({ objectMode: true, read: stop }),
    del: (_packet: unknown, done: () => void) => {
      done();
      return store;
    },
    get: (_packet: unknown, done: (error?: Error) => void) => {
      done(new Error('nothing is kept'));
      return store;
    },
    close: (done: () => void) => done(),
  };
  return store as unknown as Store;
}

function stop(this: Readable): void {
  this.push(null);
}
