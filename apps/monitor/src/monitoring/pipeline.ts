import type { Journal } from '@edge-margin/journal';
import {
  type CommandAnswer,
  type Effect,
  type Fold,
  foldRow,
  type Monitor,
  type MonitorDependencies,
  restoreMonitor,
  savedStates,
} from '@edge-margin/monitoring';
import type { Command, JournalRow } from '@edge-margin/telemetry';
import { randomUUID } from 'node:crypto';
import type { Logger } from 'pino';
import type { Commands } from '../http/commands.js';

/** What the pipeline needs of the store: effects once each, and states with the position they have reached. */
export interface PipelineStore {
  /** Position up to which effects are stored. */
  readonly readPosition: () => number;
  readonly readStates: () => readonly { readonly stationKey: string; readonly json: string }[];
  /** Returns false where the position was stored before: then nothing was changed, the states included. */
  readonly commit: (batch: Committed) => boolean;
}

/** What one transaction takes in. */
export interface Committed {
  readonly position: number;
  readonly effects: readonly Effect[];
  readonly states: readonly { readonly stationKey: string; readonly json: string }[];
}

export interface PipelineOptions {
  readonly journal: Journal;
  readonly store: PipelineStore;
  readonly dependencies: MonitorDependencies;
  readonly log: Logger;
  readonly now: () => number;
  /** Called after each transaction, with what it stored. */
  readonly onCommitted: (effects: readonly Effect[], monitor: Monitor) => void;
}

/** Key of the row that says which position the saved states have reached. */
const stateOfAll = '';
const rowsAtATime = 500;
const saveEveryMs = 1000;

/**
 * The way from durable journal rows to stored effects: rows are folded in order, what they bring about is stored in one transaction a turn,
 * and only then shown and sent. States are saved once a second; after a crash the rows since then are folded again, and what was stored
 * already is not stored twice.
 */
export class Pipeline implements Commands {
  readonly #options: PipelineOptions;
  readonly #waiting = new Map<string, (answer: CommandAnswer) => void>();
  #monitor: Monitor;
  #folded: number;
  #pending: JournalRow[] = [];
  #touched = new Set<string>();
  #savedAtMs = 0;
  #scheduled = false;
  #failure: Error | undefined;
  #stopped = false;
  #unsubscribe: (() => void)[] = [];

  constructor(options: PipelineOptions) {
    this.#options = options;
    const saved = new Map(options.store.readStates().map(({ stationKey, json }) => [stationKey, json]));
    this.#folded = positionOf(saved.get(stateOfAll));
    saved.delete(stateOfAll);
    this.#monitor = restoreMonitor(saved, options.dependencies);
  }

  get monitor(): Monitor {
    return this.#monitor;
  }

  /** Why rows are not being folded and stored, or undefined. */
  get failure(): Error | undefined {
    return this.#failure;
  }

  /** Rows that are taken in but not yet stored. */
  get backlog(): number {
    return this.#options.journal.lastPosition() - this.#folded;
  }

  /** Folds what the journal holds beyond the saved states, then follows it. */
  start(): void {
    const { journal, log, store } = this.#options;
    const end = journal.durable();
    const stored = store.readPosition();
    if (stored > end)
      throw new Error(
        `the store has reached journal position ${stored}, but the journal ends at ${end}: DATA_DIR holds parts of different age`,
      );
    const begin = this.#folded;
    while (this.#folded < end) this.#take(journal.read(this.#folded + 1, rowsAtATime));
    if (end > begin) log.info({ rows: end - begin, position: end }, 'caught up from the journal');
    this.#unsubscribe = [
      journal.onAppend((row) => this.#pending.push(row)),
      journal.onDurable(() => this.#schedule()),
    ];
  }

  /** Stores what is durable and saves the states. */
  async stop(): Promise<void> {
    await this.#options.journal.flush().catch(() => undefined);
    for (const end of this.#unsubscribe) end();
    while (this.#drain()) this.#savedAtMs = 0;
    this.#stopped = true;
  }

  submit(actor: string, command: Command): Promise<CommandAnswer> {
    const commandId = randomUUID();
    return new Promise((resolve) => {
      this.#waiting.set(commandId, resolve);
      this.#options.journal.append({
        kind: 'command',
        commandId,
        actor,
        command,
        arrivedAtMs: this.#options.now(),
      });
    });
  }

  #schedule(): void {
    if (this.#scheduled || this.#stopped) return;
    this.#scheduled = true;
    setImmediate(() => {
      this.#scheduled = false;
      if (this.#drain()) this.#schedule();
    });
  }

  /** Takes the durable rows of one turn; true where more wait. */
  #drain(): boolean {
    const durable = this.#options.journal.durable();
    const due = this.#pending.findIndex((row) => row.position > durable);
    const rows = this.#pending.splice(0, Math.min(due === -1 ? this.#pending.length : due, rowsAtATime));
    if (rows.length === 0) return false;
    try {
      this.#take(rows);
      if (this.#failure !== undefined) this.#options.log.info('the store takes rows again');
      this.#failure = undefined;
    } catch (error) {
      // The store refuses (disk full, say): nothing has moved, so the same rows are tried again; the journal goes on taking in.
      this.#pending = [...rows, ...this.#pending];
      if (this.#failure === undefined)
        this.#options.log.error({ err: error }, 'the store does not take rows; trying again every second');
      this.#failure = error as Error;
      setTimeout(() => this.#schedule(), 1000).unref();
      return false;
    }
    const next = this.#pending[0];
    return next !== undefined && next.position <= durable;
  }

  /** Folds rows and stores what they bring about; on an exception nothing has changed. */
  #take(rows: readonly JournalRow[]): void {
    const { dependencies, store } = this.#options;
    const stored = store.readPosition();
    const before = { monitor: this.#monitor, folded: this.#folded };
    const effects: Effect[] = [];
    try {
      for (const row of rows) {
        const fold: Fold = foldRow(this.#monitor, row, dependencies);
        this.#monitor = fold.monitor;
        this.#folded = row.position;
        for (const key of fold.touched) this.#touched.add(key);
        if (row.position > stored) effects.push(...fold.effects);
      }
      this.#commit(effects);
    } catch (error) {
      this.#monitor = before.monitor;
      this.#folded = before.folded;
      throw error;
    }
  }

  #commit(effects: readonly Effect[]): void {
    const { now, onCommitted, store } = this.#options;
    const saving = now() - this.#savedAtMs >= saveEveryMs;
    const states = saving ? this.#statesToSave() : [];
    const applied = store.commit({ position: this.#folded, effects, states });
    if (saving && applied) {
      this.#touched = new Set();
      this.#savedAtMs = now();
    }
    onCommitted(effects, this.#monitor);
    this.#answer(effects);
  }

  #statesToSave(): { stationKey: string; json: string }[] {
    const states = savedStates(this.#monitor, this.#touched);
    return [...states, { stationKey: stateOfAll, json: JSON.stringify({ position: this.#folded }) }];
  }

  #answer(effects: readonly Effect[]): void {
    if (this.#waiting.size === 0) return;
    for (const effect of effects) {
      if (effect.kind !== 'command-answer') continue;
      this.#waiting.get(effect.commandId)?.(effect.answer);
      this.#waiting.delete(effect.commandId);
    }
  }
}

function positionOf(json: string | undefined): number {
  return json === undefined ? 0 : (JSON.parse(json) as { position: number }).position;
}
