import type { LiveEvent } from '@edge-margin/monitoring';
import { Subject, type Observable } from 'rxjs';

/** A live event with its id, as it goes over the wire. */
export interface NumberedEvent {
  readonly id: string;
  readonly event: LiveEvent;
}

/**
 * Hands live events to every page that listens. Ids count up within one run of the service and carry the run's start,
 * so that a page that comes back after a restart is known to have missed something.
 */
export class LiveHub {
  readonly #subject = new Subject<NumberedEvent>();
  readonly #run: string;
  #count = 0;

  constructor(startedAtMs: number) {
    this.#run = startedAtMs.toString(36);
  }

  send(event: LiveEvent): void {
    this.#subject.next(this.number(event));
  }

  /** Gives an event the next id without sending it: for the snapshot that one new listener receives. */
  number(event: LiveEvent): NumberedEvent {
    this.#count += 1;
    return { id: `${this.#run}-${this.#count}`, event };
  }

  events(): Observable<NumberedEvent> {
    return this.#subject.asObservable();
  }

  close(): void {
    this.#subject.complete();
  }
}
