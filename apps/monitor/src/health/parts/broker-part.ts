import type { OwnTrouble, PartState, TroubleSign } from '@edge-margin/monitoring';
import { type Reason, reason } from '@edge-margin/units';
import type { BrokerClient } from '../../ingest/broker-client.js';
import type { LinkTrouble, LinkTroubleCode } from '../../ingest/link-trouble.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/** Which alarm of maintenance a trouble at the broker belongs to. */
const alarmOf: Readonly<Record<LinkTroubleCode, OwnTrouble>> = {
  'link-down': 'broker-disconnected',
  'taken-over': 'broker-taken-over',
  'link-flapping': 'broker-taken-over',
  'subscribe-unanswered': 'broker-refused',
  'subscription-refused': 'broker-refused',
  mute: 'broker-mute',
  'mute-source': 'broker-mute',
  'session-lost': 'messages-lost',
  'messages-lost': 'messages-lost',
  'publish-refused': 'broker-refused',
  'publish-too-large': 'broker-refused',
  'certificate-expires': 'certificate-expires',
};
const alarms = [...new Set(Object.values(alarmOf))];

/** The connection to the broker, the subscriptions, and whether anything comes. */
export function brokerPart(
  broker: Pick<
    BrokerClient,
    'link' | 'trouble' | 'undecided' | 'subscriptions' | 'received' | 'isCatchingUp'
  >,
): PartReading {
  const link = broker.link();
  const { granted, refused } = broker.subscriptions();
  const troubles = broker.trouble();
  const starting = notThereYet(link.state, granted.length + refused.length, troubles);
  const { messages, oversize, lastAtMs } = broker.received();
  return {
    part: 'broker',
    state: stateOf(
      link.state,
      troubles.length + starting.length,
      starting.length > 0 || troubles.some(({ blocks }) => blocks),
    ),
    because: [...troubles.map(({ code, text, params }) => ({ code, text, params })), ...starting],
    blocks: starting.length > 0 || troubles.some(({ blocks }) => blocks),
    figures: [
      figure('state', 'connection', link.state, null),
      figure('since', 'since', link.sinceMs, 'instant'),
      figure('filters', 'subscriptions granted', granted.length, 'count'),
      figure('filters-refused', 'subscriptions refused', refused.length, 'count'),
      figure('messages', 'messages received', messages, 'count'),
      figure('oversize', 'of these too large', oversize, 'count'),
      figure('last-message', 'last message', lastAtMs, 'instant'),
      figure('catching-up', 'catching up', broker.isCatchingUp() ? 'yes' : 'no', null),
    ],
    troubles: signsOf(troubles, broker.undecided(), starting[0]),
  };
}

function signsOf(
  troubles: readonly LinkTrouble[],
  undecided: readonly LinkTroubleCode[],
  starting: Reason | undefined,
): readonly TroubleSign[] {
  return alarms.flatMap((alarm) => {
    const found = troubles.find(({ code }) => alarmOf[code] === alarm);
    if (found !== undefined) {
      const { code, text, params } = found;
      return sign(alarm, 'reached', { code, text, params });
    }
    if (alarm === 'broker-disconnected') return sign(alarm, 'reached', starting);
    return undecided.some((code) => alarmOf[code] === alarm) ? [] : sign(alarm, null, undefined);
  });
}

/** Before the first connection, and between a connection and its subscriptions. */
function notThereYet(
  state: 'up' | 'down',
  answered: number,
  troubles: readonly { readonly code: string }[],
): readonly Reason[] {
  const told = (code: LinkTroubleCode): boolean => troubles.some((trouble) => trouble.code === code);
  if (state === 'down')
    return told('link-down') ? [] : [reason('not-connected-yet', 'the broker is not connected yet')];
  return answered > 0 || told('subscribe-unanswered')
    ? []
    : [reason('not-subscribed-yet', 'the broker has not answered our subscriptions yet')];
}

function stateOf(link: 'up' | 'down', troubles: number, blocks: boolean): PartState {
  if (link === 'down' || blocks) return 'down';
  return troubles > 0 ? 'degraded' : 'ok';
}
