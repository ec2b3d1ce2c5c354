import type { Journal } from '@edge-margin/journal';
import type { DelayHistogram } from './delay-histogram.js';

/** Measures how long a row waits for the disk, for one row at a time: one comparison a message, one measurement a group commit. */
export function watchJournal(
  journal: Pick<Journal, 'onAppend' | 'onDurable'>,
  delay: DelayHistogram,
  steadyMs: () => number,
): () => void {
  let watched: { readonly position: number; readonly atMs: number } | undefined;
  const stops = [
    journal.onAppend(({ position }) => {
      watched ??= { position, atMs: steadyMs() };
    }),
    journal.onDurable((position) => {
      if (watched === undefined || position < watched.position) return;
      delay.observe((steadyMs() - watched.atMs) / 1000);
      watched = undefined;
    }),
  ];
  return () => {
    for (const stop of stops) stop();
  };
}
