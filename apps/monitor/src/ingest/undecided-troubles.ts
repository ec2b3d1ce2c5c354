import { isSettled } from './link-state.js';
import type { LinkTroubleCode } from './link-trouble.js';
import type { LinkFacts } from './link-troubles.js';

/**
 * Of which troubles nobody can tell at this moment whether they are there: that they are not told says nothing then. After a start, say,
 * nothing has been heard yet, which is neither silence nor news.
 */
export function undecidedTroubles(
  facts: Pick<LinkFacts, 'atMs' | 'link' | 'subscriptions' | 'isStillListening'>,
): readonly LinkTroubleCode[] {
  const { atMs, link, subscriptions, isStillListening } = facts;
  const isUp = link.state === 'up';
  const isAnswered = isUp && subscriptions.granted.length + subscriptions.refused.length > 0;
  return [
    ...(isSettled(link, atMs) ? [] : (['taken-over', 'link-flapping'] as const)),
    ...(isUp ? [] : (['certificate-expires'] as const)),
    ...(isAnswered
      ? []
      : (['subscribe-unanswered', 'subscription-refused', 'publish-refused', 'publish-too-large'] as const)),
    ...(isStillListening ? (['mute', 'mute-source'] as const) : []),
  ];
}
