import type { Reason } from '@edge-margin/units';

/**
 * A reason's sentence with its instant in the reader's own time: the service writes `since 02:31:05 UTC` and gives the instant beside it
 * as the parameter `sinceMs`; a page says `since 02:31`.
 */
export function reasonWords(because: Reason, since: (atMs: number) => string): string {
  const sinceMs = because.params['sinceMs'];
  if (typeof sinceMs !== 'number') return because.text;
  const words = since(sinceMs);
  return words === '' ? because.text : because.text.replace(/\d{2}:\d{2}:\d{2} UTC/, words);
}
