import type { LiveEvent } from '@edge-margin/monitoring';
import { defer, finalize, Subject, type Observable } from 'rxjs';

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
  #sent = 0;
  #listeners = 0;

  constructor(startedAtMs: number) {
    this.#run = startedAtMs.toString(36);
  }

  send(event: LiveEvent): void {
    this.#sent += 1;
    this.#subject.next(this.number(event));
  }

  /** Gives an event the next id without sending it: for the snapshot that one new listener receives. */
  number(event: LiveEvent): NumberedEvent {
    this.#count += 1;
    return { id: `${this.#run}-${this.#count}`, event };
  }

  /** Also counts who listens, for as long as they do. */
  events(): Observable<NumberedEvent> {
    return defer(() => {
      this.#listeners += 1;
      return this.#subject.asObservable();
    }).pipe(finalize(() => (this.#listeners -= 1)));
  }

  listeners(): number {
    return this.#listeners;
  }

  /** Events sent so far, whoever listened. */
  sent(): number {
    return this.#sent;
  }

  close(): void {
    this.#subject.complete();
  }
}
