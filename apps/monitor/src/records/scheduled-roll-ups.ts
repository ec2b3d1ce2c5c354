import type { Store } from '@edge-margin/store-sqlite';
import { Inject, Injectable } from '@nestjs/common';
import { Interval } from '@nestjs/schedule';
import type { Logger } from 'pino';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { LOG, ROLL_UPS } from '../tokens.js';

/** Windows rolled up without letting anything else run: about a millisecond. */
const windowsInOneGo = 40;
/** Readings of a window that has ended are still on their way for so long, ms; what comes later is rolled up again. */
const settleMs = 3000;

/** Rolls up what has ended, in pieces between which messages are handled; true where everything was. */
export async function rollUpEnded(
  rollUps: Pick<Store['rollUps'], 'rollUpDue'>,
  now: () => number,
  workMs: number,
): Promise<boolean> {
  const startedAtMs = now();
  for (;;) {
    if (rollUps.rollUpDue(startedAtMs - settleMs, windowsInOneGo).done) return true;
    if (now() - startedAtMs > workMs) return false;
    await nextTurn();
  }
}

/** The schedule of the roll-ups. */
@Injectable()
export class ScheduledRollUps {
  readonly #rollUps: Store['rollUps'];
  readonly #log: Logger;
  #running = false;
  #failing = false;

  constructor(@Inject(ROLL_UPS) rollUps: Store['rollUps'], @Inject(LOG) log: Logger) {
    this.#rollUps = rollUps;
    this.#log = log;
  }

  @Interval(5000)
  async rollUp(): Promise<void> {
    if (this.#running) return;
    this.#running = true;
    try {
      await rollUpEnded(this.#rollUps, Date.now, 4000);
      this.#failing = false;
    } catch (error) {
      if (!this.#failing) this.#log.error({ err: error }, 'rolling up fails; it is tried again every 5 s');
      this.#failing = true;
    } finally {
      this.#running = false;
    }
  }
}
