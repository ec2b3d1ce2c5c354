/** Who waits for a hash: a person at a screen where they are known goes first. */
export type Lane = 'familiar' | 'unfamiliar';

export interface HashLanes {
  /** Whether one more may wait in the lane. */
  readonly hasRoom: (lane: Lane, address: string) => boolean;
  /** Does the work when its turn comes. Ask `hasRoom` first. */
  readonly run: <T>(lane: Lane, address: string, work: () => Promise<T>) => Promise<T>;
}

export interface HashLaneLimits {
  readonly atOnce: number;
  readonly waiting: Readonly<Record<Lane, number>>;
  readonly waitingPerAddress: number;
}

interface Waiting {
  readonly address: string;
  readonly go: () => void;
}

/**
 * Lets a bounded number of password hashes run at once and a bounded number wait. Each costs 19 MiB and tens of milliseconds of a core: without
 * a bound, sign-in attempts would take memory and cores from the assessments.
 */
export function hashLanes(limits: HashLaneLimits): HashLanes {
  const lanes: Readonly<Record<Lane, Waiting[]>> = { familiar: [], unfamiliar: [] };
  let running = 0;
  const next = (): void => {
    const waiting = lanes.familiar.shift() ?? lanes.unfamiliar.shift();
    if (waiting === undefined) running -= 1;
    else waiting.go();
  };
  const turn = (lane: Lane, address: string): Promise<void> => {
    if (running < limits.atOnce) {
      running += 1;
      return Promise.resolve();
    }
    return new Promise((go) => lanes[lane].push({ address, go }));
  };
  return {
    hasRoom: (lane, address) =>
      lanes[lane].length < limits.waiting[lane] &&
      lanes[lane].filter((waiting) => waiting.address === address).length < limits.waitingPerAddress,
    run: async (lane, address, work) => {
      await turn(lane, address);
      try {
        return await work();
      } finally {
        next();
      }
    },
  };
}
