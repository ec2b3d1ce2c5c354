import type { Reason } from '@edge-margin/units';

/**
 * What can be wrong on the broker's side, by what is to be done about it.
 * - `link-down`: no connection; `params.cause` names the failure (see `connection-failure.ts`).
 * - `taken-over`: the broker said that another client connected under our client id.
 * - `link-flapping`: connections end soon after they came up, as when two clients use one client id.
 * - `subscribe-unanswered`: the broker does not answer our subscription.
 * - `subscription-refused`: the broker refused a topic filter; one entry a filter.
 * - `mute`: connected and subscribed, but nothing comes of what the plant file expects.
 * - `mute-source`: as `mute`, for one source of the plant file; others come.
 * - `session-lost`: the broker had forgotten our session: what was sent meanwhile did not come. Told for a while, recorded as a gap.
 * - `messages-lost`: numbers in the messages show that some never came. Told for a while, recorded as a gap.
 * - `publish-refused`: the broker does not let us publish.
 * - `publish-too-large`: something was not published because it is larger than the broker takes.
 * - `certificate-expires`: the broker's certificate or ours ends soon.
 */
export type LinkTroubleCode =
  | 'link-down'
  | 'taken-over'
  | 'link-flapping'
  | 'subscribe-unanswered'
  | 'subscription-refused'
  | 'mute'
  | 'mute-source'
  | 'session-lost'
  | 'messages-lost'
  | 'publish-refused'
  | 'publish-too-large'
  | 'certificate-expires';

/** One thing that is wrong on the broker's side, in words for people. */
export interface LinkTrouble extends Reason {
  readonly code: LinkTroubleCode;
  /** Since when, epoch ms. */
  readonly sinceMs: number;
  /** True while something that the plant file asks for cannot come in: the service is not ready. */
  readonly blocks: boolean;
  /** True where messages were, or are being, lost for good. */
  readonly loses: boolean;
}
