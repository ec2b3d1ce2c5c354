import { isSettled, type LinkState } from './link-state.js';
import type { LinkTrouble, LinkTroubleCode } from './link-trouble.js';
import type { PublishFault } from './publish-faults.js';
import { wordsOfCode } from './reason-codes.js';
import type { Loss } from './recent-losses.js';
import type { SilentSource } from './source-watch.js';
import type { Subscriptions } from './subscriptions.js';

/** What is known of the broker's side at an instant. */
export interface LinkFacts {
  readonly atMs: number;
  readonly clientId: string;
  readonly link: LinkState;
  readonly subscriptions: Subscriptions;
  /** Since when our subscription is unanswered. */
  readonly unansweredSinceMs: number | undefined;
  /** When the last subscription was sent. */
  readonly subscribedAtMs: number;
  readonly silent: readonly SilentSource[];
  /** How many sources are watched for silence. */
  readonly watched: number;
  /** Some of them may be silent and have not had the time to be heard. */
  readonly isStillListening: boolean;
  readonly losses: readonly (Loss & { readonly times: number })[];
  readonly publishFaults: readonly PublishFault[];
  readonly certificates: readonly { readonly whose: 'broker' | 'own'; readonly endsAtMs: number }[];
}

/** A broker that answers at once is not talked about. */
const answerExpectedMs = 3000;
const certificateWarningMs = 14 * 24 * 3_600_000;
const mostNamed = 3;

/** What is wrong, the worst first: what keeps messages away, what has lost some, and the rest. */
export function linkTroubles(facts: LinkFacts): readonly LinkTrouble[] {
  const all = [
    ...connectionTroubles(facts),
    ...subscriptionTroubles(facts),
    ...silenceTroubles(facts),
    ...lossTroubles(facts),
    ...publishTroubles(facts),
    ...certificateTroubles(facts),
  ];
  return all.toSorted((a, b) => rank(a) - rank(b));
}

function rank({ blocks, loses }: LinkTrouble): number {
  return blocks ? 0 : loses ? 1 : 2;
}

function trouble(
  code: LinkTroubleCode,
  sinceMs: number,
  text: string,
  more: { readonly params?: LinkTrouble['params']; readonly blocks?: boolean; readonly loses?: boolean } = {},
): LinkTrouble {
  const { params = {}, blocks = false, loses = false } = more;
  return { code, sinceMs, text, params, blocks, loses };
}

function connectionTroubles({ link, atMs, clientId }: LinkFacts): LinkTrouble[] {
  const troubles: LinkTrouble[] = [];
  if (link.state === 'down' && link.detail !== undefined && link.cause !== 'stopped') {
    const params = { cause: link.cause ?? 'other' };
    troubles.push(trouble('link-down', link.sinceMs, link.detail, { params, blocks: true }));
  }
  if (isSettled(link, atMs)) return troubles;
  const params = { clientId };
  if (link.takenOverAtMs !== undefined) {
    const text = `another client connects under our client id ${clientId}: each throws the other out, and messages go to either`;
    troubles.push(trouble('taken-over', link.takenOverAtMs, text, { params, loses: true }));
  } else if (link.flapping) {
    const sinceMs = link.shortLivesEndedAtMs[0] ?? link.sinceMs;
    const text = `connections keep being closed soon after they came up: does another client use the client id ${clientId}?`;
    troubles.push(trouble('link-flapping', sinceMs, text, { params, loses: true }));
  }
  return troubles;
}

function subscriptionTroubles(facts: LinkFacts): LinkTrouble[] {
  const { link, subscriptions, unansweredSinceMs, subscribedAtMs, atMs } = facts;
  const troubles = subscriptions.refused.map(({ filter, reasonCode }) =>
    trouble(
      'subscription-refused',
      subscribedAtMs,
      `the broker refused ${filter}: ${wordsOfCode(reasonCode)}`,
      {
        params: { filter, reasonCode },
        blocks: true,
      },
    ),
  );
  if (link.state === 'up' && unansweredSinceMs !== undefined && atMs - unansweredSinceMs > answerExpectedMs)
    troubles.push(
      trouble(
        'subscribe-unanswered',
        unansweredSinceMs,
        'the broker took the connection and does not answer our subscription',
        { blocks: true },
      ),
    );
  return troubles;
}

function silenceTroubles({ silent, watched }: LinkFacts): LinkTrouble[] {
  const [first] = silent;
  if (first === undefined) return [];
  const isAll = silent.length === watched;
  if (!isAll || watched === 1) return silent.map((source) => silenceOf(source, isAll));
  const sinceMs = Math.min(...silent.map((one) => one.sinceMs));
  const why = whyOf(silent.some(({ hasCome }) => hasCome));
  const text = `connected and subscribed, but nothing comes on any of ${watched} sources, such as ${first.filter}: ${why}`;
  return [trouble('mute', sinceMs, text, { params: { sources: watched }, blocks: true, loses: true })];
}

function silenceOf({ filter, periodS, sinceMs, hasCome }: SilentSource, isAll: boolean): LinkTrouble {
  const text = `subscribed, but nothing comes on ${filter}, where something is expected every ${periodS} s: ${whyOf(hasCome)}`;
  const params = { filter, periodS };
  return trouble(isAll ? 'mute' : 'mute-source', sinceMs, text, { params, blocks: isAll, loses: true });
}

function whyOf(hasCome: boolean): string {
  return hasCome
    ? 'the gateway is silent, or the broker now withholds what it grants'
    : "the gateway is silent, or the broker grants the subscription and withholds what it takes (its access list); is the plant file's topic right?";
}

function lossTroubles({ losses }: LinkFacts): LinkTrouble[] {
  return losses.map(({ code, fromMs, because, times }) => {
    const text = times === 1 ? because.text : `${because.text}; ${times} times in the last ten minutes`;
    return trouble(code, fromMs, text, { params: { ...because.params, times }, loses: true });
  });
}

function publishTroubles({ publishFaults }: LinkFacts): LinkTrouble[] {
  return (['publish-refused', 'publish-too-large'] as const).flatMap((code) => {
    const faults = publishFaults.filter((fault) => fault.code === code);
    const [first] = faults;
    if (first === undefined) return [];
    const named = faults.slice(0, mostNamed).map(({ text }) => text);
    const others = faults.length > mostNamed ? `; ${faults.length - mostNamed} more topics` : '';
    const what = code === 'publish-refused' ? 'the broker does not take' : 'too large for the broker:';
    const params = { topics: faults.length };
    return [trouble(code, first.sinceMs, `${what} ${named.join('; ')}${others}`, { params })];
  });
}

function certificateTroubles({ certificates, atMs }: LinkFacts): LinkTrouble[] {
  return certificates
    .filter(({ endsAtMs }) => endsAtMs - atMs <= certificateWarningMs)
    .map(({ whose, endsAtMs }) => {
      const what = whose === 'own' ? 'our certificate (MQTT_CERT_FILE)' : "the broker's certificate";
      const day = new Date(endsAtMs).toISOString().slice(0, 10);
      const verb = endsAtMs < atMs ? 'expired' : 'expires';
      const text = `${what} ${verb} on ${day}; without another one there will be no connection`;
      return trouble('certificate-expires', endsAtMs - certificateWarningMs, text, {
        params: { whose, endsAtMs },
      });
    });
}
