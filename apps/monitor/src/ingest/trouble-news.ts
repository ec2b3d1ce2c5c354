import type { BrokerLog } from './broker-client-options.js';
import type { LinkTrouble } from './link-trouble.js';

/** These have their own lines in the log, at the moment they happen. */
const loggedElsewhere = ['link-down', 'subscription-refused'];

/**
 * Writes troubles to the log when they are new, and when they are all over.
 * @returns what to hand the present troubles to, about once a second; it gives true where they are others than before.
 */
export function troubleNews(log: BrokerLog): (troubles: readonly LinkTrouble[]) => boolean {
  let known: readonly string[] = [];
  return (troubles) => {
    const told = troubles.filter(({ code }) => !loggedElsewhere.includes(code));
    const keys = told.map(({ code, params }) => `${code} ${String(params['filter'] ?? '')}`);
    if (keys.join('\n') === known.join('\n')) return false;
    told.forEach(({ code, text }, index) => {
      if (!known.includes(keys[index] ?? '')) log.warn({ code }, text);
    });
    if (told.length === 0) log.info({}, 'the trouble with the broker is over');
    known = keys;
    return true;
  };
}
