import { connect } from 'mqtt';

/** Publishes numbered messages at QoS 1, round about so many a second, until told to stop. */
export interface SteadyPublisher {
  /** Stops, waits for the broker's word on what is under way, and gives the payloads that the broker accepted. */
  readonly stop: () => Promise<readonly string[]>;
}

/**
 * Begins to publish `<number>` to `<prefix>/<number modulo 5>`.
 * @param mayGoOn asked with the number published so far; false holds back, so that a slow machine does not pile up what it then must drain
 */
export async function startSteadyPublisher(
  url: string,
  prefix: string,
  perSecond: number,
  mayGoOn: (published: number) => boolean = () => true,
): Promise<SteadyPublisher> {
  const client = connect(url, { protocolVersion: 5, clientId: 'gateway' });
  await new Promise((resolve) => client.once('connect', resolve));
  const accepted: string[] = [];
  let next = 1;
  let underWay = 0;
  const beginAtMs = Date.now();
  const timer = setInterval(() => {
    const due = ((Date.now() - beginAtMs) / 1000) * perSecond;
    while (next <= due && underWay < 2000 && mayGoOn(next - 1)) {
      const payload = String(next);
      underWay += 1;
      client.publish(`${prefix}/${next % 5}`, payload, { qos: 1 }, (error) => {
        underWay -= 1;
        if (error === undefined || error === null) accepted.push(payload);
      });
      next += 1;
    }
  }, 5);
  return {
    stop: async () => {
      clearInterval(timer);
      while (underWay > 0) await new Promise((resolve) => setTimeout(resolve, 20));
      await client.endAsync();
      return accepted;
    },
  };
}
