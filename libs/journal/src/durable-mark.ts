/** The highest position on disk, and those who wait for it. */
export interface DurableMark {
  readonly at: () => number;
  readonly advance: (position: number) => void;
  readonly onAdvance: (listener: (position: number) => void) => () => void;
  readonly when: (position: number) => Promise<void>;
  /** Tells everybody who still waits that it will not come. */
  readonly giveUp: (because: Error) => void;
}

interface Waiting {
  readonly position: number;
  readonly resolve: () => void;
  readonly reject: (because: Error) => void;
}

/** A mark that starts at a position. */
export function durableMark(start: number): DurableMark {
  const listeners = new Set<(position: number) => void>();
  let mark = start;
  let waiting: readonly Waiting[] = [];
  let lost: Error | undefined;
  return {
    at: () => mark,
    advance: (position) => {
      mark = position;
      for (const listener of listeners) listener(position);
      if (waiting.length === 0) return;
      const reached = waiting.filter((one) => one.position <= position);
      waiting = waiting.filter((one) => one.position > position);
      for (const one of reached) one.resolve();
    },
    onAdvance: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    when: (position) => {
      if (position <= mark) return Promise.resolve();
      if (lost !== undefined) return Promise.reject(lost);
      return new Promise((resolve, reject) => {
        waiting = [...waiting, { position, resolve, reject }];
      });
    },
    giveUp: (because) => {
      lost = because;
      const all = waiting;
      waiting = [];
      for (const one of all) one.reject(because);
    },
  };
}
