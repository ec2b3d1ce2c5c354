import type { Effect } from '@edge-margin/monitoring';
import type { SavedState } from './saved-position.js';

/** What one transaction takes in. */
export interface Committed {
  readonly position: number;
  readonly effects: readonly Effect[];
  readonly states: readonly SavedState[];
}

/**
 * Effects on their way to the store and to whoever watches: they gather in an open batch; that is sealed with the position it has reached, waits
 * until the rows up to there are on disk, and is stored.
 *
 * What calls somebody or answers somebody is urgent: it, and what came after it, is shown only when it is stored. Everything else is shown
 * as soon as it is there. Nothing is ever shown out of order. An assessment is only shown: the samples beside it hold what is stored of it.
 */
export class EffectBatches {
  #effects: Effect[] = [];
  /** Of these, what was not shown yet. */
  #unseen: Effect[] = [];
  #isUrgent = false;
  #sealed: (Committed & { readonly unseen: readonly Effect[]; readonly isUrgent: boolean }) | undefined;

  take(effects: readonly Effect[]): void {
    for (const effect of effects) {
      this.#unseen.push(effect);
      if (effect.kind === 'assessment') continue;
      this.#effects.push(effect);
      this.#isUrgent ||= mustBeStoredFirst(effect);
    }
  }

  /** How many effects the open batch holds. */
  get size(): number {
    return this.#effects.length;
  }

  /** The open batch holds something that must not be shown before it is stored. */
  get isUrgent(): boolean {
    return this.#isUrgent;
  }

  /** The batch that waits to be stored. */
  get sealed(): Committed | undefined {
    return this.#sealed;
  }

  /** Seals the open batch. Only one at a time can wait: the one before must be stored. */
  seal(position: number, states: readonly SavedState[]): void {
    if (this.#sealed !== undefined) throw new Error('a batch is sealed already');
    const unseen = this.#isUrgent ? this.#unseen : [];
    if (this.#isUrgent) this.#unseen = [];
    this.#sealed = { position, effects: this.#effects, states, unseen, isUrgent: this.#isUrgent };
    this.#effects = [];
    this.#isUrgent = false;
  }

  /** The sealed batch is stored: gives what of it may be shown now, in order. */
  stored(): readonly Effect[] {
    const unseen = this.#sealed?.unseen ?? [];
    this.#sealed = undefined;
    return unseen;
  }

  /** Takes out what may be shown now, in order. */
  takeShowable(): readonly Effect[] {
    if (this.#isUrgent || this.#sealed?.isUrgent === true) return [];
    const effects = this.#unseen;
    this.#unseen = [];
    return effects;
  }
}

/** Somebody is called or answered. */
function mustBeStoredFirst({ kind }: Effect): boolean {
  return kind === 'alarm-transition' || kind === 'command-answer';
}
