import type { Journal } from '@edge-margin/journal';
import {
  type CommandAnswer,
  type Effect,
  type Monitor,
  type MonitorDependencies,
  restoreMonitor,
  runMonitor,
  type RunningMonitor,
  savedStates,
} from '@edge-margin/monitoring';
import type { Command, JournalRow } from '@edge-margin/telemetry';
import { randomUUID } from 'node:crypto';
import { performance } from 'node:perf_hooks';
import type { Logger } from 'pino';
import type { Commands } from '../http/commands.js';
import { withRow } from './with-row.js';

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
  /** Called after each turn with what it brought about, once that may be shown and sent. */
  readonly onEffects: (effects: readonly Effect[], monitor: Pick<Monitor, 'model'>) => void;
  /** Called after each turn with the rows that were folded for the first time, and what they brought about: for counting. */
  readonly onFolded?: (rows: readonly FoldedRow[]) => void;
}

/** A row with what it brought about. */
export interface FoldedRow {
  readonly row: JournalRow;
  readonly effects: readonly Effect[];
}

/** Key of the row that says which position the saved states have reached. */
const stateOfAll = '';
const rowsAtATime = 500;
/** A turn of the loop ends after about this: what it has brought about leaves, and others have theirs. */
const turnMs = 3;
/** What may wait for company is stored this often, or when there is as much of it: one transaction writes each page it touches once. */
const storeEveryMs = 1000;
const effectsAtATime = 4000;
const saveEveryMs = 5000;
const retryMs = 1000;

/**
 * The way from durable journal rows to stored effects: rows are folded in order, and what they bring about is stored, shown and sent.
 *
 * What calls somebody, or answers somebody, is stored before it is shown. Everything else (samples and assessments, mostly) is shown at once
 * and stored within a second: its rows are durable in the journal, so that a crash in between takes nothing away: the same rows give the
 * same effects again. States are saved every five seconds; after a crash the rows since then are folded again, and what was stored already
 * is not stored twice.
 */
export class Pipeline implements Commands {
  readonly #options: PipelineOptions;
  readonly #waiting = new Map<string, (answer: CommandAnswer) => void>();
  readonly #running: RunningMonitor;
  #shownModel: Monitor['model'];
  #folded: number;
  /** Position up to which effects are stored. */
  #stored: number;
  #pending: JournalRow[] = [];
  /** Brought about and not stored yet, in order. */
  #toStore: Effect[] = [];
  /** Brought about and not shown yet, in order. */
  #toShow: Effect[] = [];
  /** Among what is not stored yet is something that must not be shown before. */
  #isUrgent = false;
  #storedAtMs = 0;
  #savedAtMs = 0;
  #touched = new Set<string>();
  #scheduled = false;
  #storing: NodeJS.Timeout | undefined;
  #failure: Error | undefined;
  #stopped = false;
  #unsubscribe: (() => void)[] = [];

  constructor(options: PipelineOptions) {
    this.#options = options;
    const saved = new Map(options.store.readStates().map(({ stationKey, json }) => [stationKey, json]));
    this.#folded = positionOf(saved.get(stateOfAll));
    this.#stored = options.store.readPosition();
    saved.delete(stateOfAll);
    this.#running = runMonitor(restoreMonitor(saved, options.dependencies), options.dependencies);
    this.#shownModel = this.#running.model();
  }

  /** The state as it stands. Costs as much as there are stations and topics: not for every message. */
  get monitor(): Monitor {
    return this.#running.monitor();
  }

  /** What the plant file in force makes of the monitoring; costs nothing. */
  get model(): Monitor['model'] {
    return this.#running.model();
  }

  /** Why rows are not being folded and stored, or undefined. */
  get failure(): Error | undefined {
    return this.#failure;
  }

  /** Rows that are taken in but not yet folded. */
  get backlog(): number {
    return this.#options.journal.lastPosition() - this.#folded;
  }

  /**
   * Folds what the journal holds beyond the saved states, then follows it.
   * @throws what the store throws where it does not take this.
   */
  start(): void {
    const { journal, log } = this.#options;
    const end = journal.durable();
    if (this.#stored > end)
      throw new Error(
        `the store has reached journal position ${this.#stored}, but the journal ends at ${end}: DATA_DIR holds parts of different age`,
      );
    const begin = this.#folded;
    while (this.#folded < end && this.#failure === undefined)
      this.#take(journal.read(this.#folded + 1, rowsAtATime));
    if (this.#failure === undefined) this.#store();
    if (this.#failure !== undefined) throw this.#failure;
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
    while (this.#drain());
    this.#savedAtMs = 0;
    if (this.#failure === undefined) this.#store();
    clearTimeout(this.#storing);
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

  /** Takes the durable rows of one turn; true where more wait. While the store refuses, rows wait in the journal. */
  #drain(): boolean {
    if (this.#failure !== undefined) return false;
    const durable = this.#options.journal.durable();
    const pending = this.#pending;
    let due = 0;
    while (due < rowsAtATime && (pending[due]?.position ?? Infinity) <= durable) due += 1;
    if (due === 0) return false;
    pending.splice(0, this.#take(pending.slice(0, due), turnMs));
    return (pending[0]?.position ?? Infinity) <= durable;
  }

  /**
   * Folds rows until the time is up; what they bring about is shown at once, unless something has to be stored before, and stored soon.
   * @returns how many were folded.
   */
  #take(rows: readonly JournalRow[], forMs = Infinity): number {
    const endMs = performance.now() + forMs;
    const folded: FoldedRow[] = [];
    let taken = 0;
    for (const row of rows) {
      taken += 1;
      const effects = withRow(this.#running.fold(row), row);
      this.#folded = row.position;
      if (row.position <= this.#stored) continue;
      folded.push({ row, effects });
      this.#takeIn(effects);
      // An assessment is what takes time. What it has to tell leaves between two turns.
      if (effects.length > 1 && performance.now() >= endMs) break;
    }
    for (const key of this.#running.takeTouched()) this.#touched.add(key);
    this.#options.onFolded?.(folded);
    if (this.#isUrgent || this.#isTimeToStore()) this.#store();
    else this.#storing ??= setTimeout(() => this.#store(), storeEveryMs);
    if (this.#failure === undefined) this.#show();
    return taken;
  }

  #takeIn(effects: readonly Effect[]): void {
    for (const effect of effects) {
      this.#toStore.push(effect);
      this.#toShow.push(effect);
      this.#isUrgent ||= mustBeStoredFirst(effect);
    }
  }

  #isTimeToStore(): boolean {
    return this.#toStore.length >= effectsAtATime || performance.now() - this.#storedAtMs >= storeEveryMs;
  }

  /** Stores what waits, in one transaction. Where the store refuses (disk full, say), nothing is lost: it is tried again, and rows wait meanwhile. */
  #store(): void {
    clearTimeout(this.#storing);
    this.#storing = undefined;
    if (this.#folded <= this.#stored) return;
    const { log, store } = this.#options;
    const atMs = performance.now();
    const saving = atMs - this.#savedAtMs >= saveEveryMs;
    try {
      const states = saving ? this.#statesToSave() : [];
      store.commit({ position: this.#folded, effects: this.#toStore, states });
    } catch (error) {
      if (this.#failure === undefined)
        log.error({ err: error }, 'the store does not take rows; trying again every second');
      this.#failure = error as Error;
      this.#storing = setTimeout(() => this.#storeAgain(), retryMs);
      return;
    }
    this.#failure = undefined;
    this.#stored = this.#folded;
    this.#toStore = [];
    this.#isUrgent = false;
    this.#storedAtMs = atMs;
    if (!saving) return;
    this.#touched = new Set();
    this.#savedAtMs = atMs;
  }

  #storeAgain(): void {
    const before = this.#failure;
    this.#store();
    if (this.#failure !== undefined) return;
    if (before !== undefined) this.#options.log.info('the store takes rows again');
    this.#show();
    this.#schedule();
  }

  #show(): void {
    const effects = this.#toShow;
    const model = this.#running.model();
    // A plant file that has just come into force brings about nothing by itself, and yet is news.
    if (effects.length === 0 && model === this.#shownModel) return;
    this.#toShow = [];
    this.#shownModel = model;
    this.#options.onEffects(effects, { model });
    this.#answer(effects);
  }

  #statesToSave(): { stationKey: string; json: string }[] {
    const states = savedStates(this.#running.monitor(), this.#touched);
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

/** Somebody is called or answered: it must be stored before. */
function mustBeStoredFirst({ kind }: Effect): boolean {
  return kind === 'alarm-transition' || kind === 'command-answer';
}

function positionOf(json: string | undefined): number {
  return json === undefined ? 0 : (JSON.parse(json) as { position: number }).position;
}
