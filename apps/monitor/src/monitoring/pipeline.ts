import {
  type CommandAnswer,
  type Effect,
  type Monitor,
  restoreMonitor,
  runMonitor,
  type RunningMonitor,
  savedStates,
} from '@edge-margin/monitoring';
import type { Command, JournalRow } from '@edge-margin/telemetry';
import { randomUUID } from 'node:crypto';
import type { Commands } from '../http/commands.js';
import { type Committed, EffectBatches } from './effect-batches.js';
import type { FoldedRow, PipelineOptions } from './pipeline-parts.js';
import { reachedPosition, type SavedState, statesUpTo, stationStates } from './saved-position.js';
import { withRow } from './with-row.js';

const rowsAtATime = 500;
/** A turn of the loop ends after about this: what it has brought about leaves, and others have theirs. */
const turnMs = 3;
/** What may wait for company is stored this often, or when there is as much of it: one transaction writes each page it touches once. */
const storeEveryMs = 2000;
const effectsAtATime = 4000;
const saveEveryMs = 5000;
const retryMs = 1000;
const stopPatienceMs = 5000;

/**
 * The way from journal rows to stored effects: rows are folded in order, and what they bring about is stored, shown and sent.
 *
 * Rows are folded as they are appended, while the journal writes them; but nothing is stored before the rows it comes from are on disk. What
 * calls somebody, or answers somebody, is stored before it is shown. Everything else (samples and assessments, mostly) is shown at once and
 * stored within two seconds or so. A crash in between takes nothing away: rows that were on disk are folded again and give the same effects
 * again, and rows that were not were not acknowledged either and come again. States are saved every five seconds; after a crash the rows
 * since then are folded again, and what was stored already is not stored twice.
 */
export class Pipeline implements Commands {
  readonly #options: PipelineOptions;
  readonly #waiting = new Map<string, (answer: CommandAnswer) => void>();
  readonly #running: RunningMonitor;
  readonly #batches = new EffectBatches();
  #shownModel: Monitor['model'];
  #folded: number;
  /** Position up to which effects are stored. */
  #stored: number;
  #pending: JournalRow[] = [];
  #storedAtMs = -Infinity;
  #savedAtMs = -Infinity;
  #touched = new Set<string>();
  #scheduled = false;
  #timer: NodeJS.Timeout | undefined;
  #failure: Error | undefined;
  #stopped = false;
  #unsubscribe: (() => void)[] = [];

  constructor(options: PipelineOptions) {
    this.#options = options;
    const saved = options.store.readStates();
    this.#folded = reachedPosition(saved);
    this.#stored = options.store.readPosition();
    this.#running = runMonitor(
      restoreMonitor(stationStates(saved), options.dependencies),
      options.dependencies,
    );
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
    while (this.#folded < end && this.#failure === undefined) {
      this.#fold(journal.read(this.#folded + 1, rowsAtATime));
      this.#moveOn();
    }
    if (this.#failure === undefined) this.#storeEverything();
    if (this.#failure !== undefined) throw this.#failure;
    if (end > begin) log.info({ rows: end - begin, position: end }, 'caught up from the journal');
    this.#unsubscribe = [
      journal.onAppend((row) => {
        this.#pending.push(row);
        this.#schedule();
      }),
      journal.onDurable(() => this.#schedule()),
    ];
  }

  /** Stores what is durable and saves the states. A disk that takes nothing is not waited for: what is not on it comes again. */
  async stop(): Promise<void> {
    const { journal } = this.#options;
    await Promise.race([journal.flush().catch(() => undefined), patience(stopPatienceMs)]);
    for (const end of this.#unsubscribe) end();
    while (this.#turn());
    this.#savedAtMs = -Infinity;
    if (this.#failure === undefined) this.#storeEverything();
    clearTimeout(this.#timer);
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
      if (this.#turn()) this.#schedule();
    });
  }

  /** Folds the rows of one turn and stores and shows what may be; true where more wait. While the store refuses, rows wait in the journal. */
  #turn(): boolean {
    if (this.#failure !== undefined) return false;
    if (!this.#isFull()) {
      const rows = this.#pending.slice(0, rowsAtATime);
      this.#pending.splice(0, this.#fold(rows, turnMs));
    }
    this.#moveOn();
    return this.#pending.length > 0 && !this.#isFull();
  }

  /** So much waits for the disk that rows have to wait too. */
  #isFull(): boolean {
    return this.#batches.sealed !== undefined && this.#batches.size >= effectsAtATime;
  }

  /**
   * Folds rows until the time is up.
   * @returns how many were folded.
   */
  #fold(rows: readonly JournalRow[], forMs = Infinity): number {
    const endMs = performance.now() + forMs;
    const folded: FoldedRow[] = [];
    let taken = 0;
    for (const row of rows) {
      taken += 1;
      const effects = withRow(this.#running.fold(row), row);
      this.#folded = row.position;
      if (row.position <= this.#stored) continue;
      folded.push({ row, effects });
      this.#batches.take(effects);
      // An assessment is what takes time. What it has to tell leaves between two turns.
      if (effects.length > 1 && performance.now() >= endMs) break;
    }
    for (const key of this.#running.takeTouched()) this.#touched.add(key);
    if (folded.length > 0) this.#options.onFolded?.(folded);
    return taken;
  }

  /** Stores what is due and on disk, and shows what may be shown. */
  #moveOn(): void {
    const { journal } = this.#options;
    for (;;) {
      if (this.#batches.sealed === undefined && this.#isDue()) this.#seal();
      const { sealed } = this.#batches;
      if (sealed === undefined || sealed.position > journal.durable() || !this.#store(sealed)) break;
      this.#show(this.#batches.stored());
    }
    if (this.#failure !== undefined) return;
    this.#show(this.#batches.takeShowable());
    this.#timer ??= setTimeout(() => this.#lookAgain(), storeEveryMs);
  }

  #lookAgain(): void {
    this.#timer = undefined;
    if (this.#folded > this.#stored) this.#moveOn();
  }

  #isDue(): boolean {
    if (this.#folded <= this.#stored) return false;
    if (this.#batches.isUrgent || this.#batches.size >= effectsAtATime) return true;
    return performance.now() - this.#storedAtMs >= storeEveryMs;
  }

  /** Closes what was brought about so far, with the states in which that has left the stations. */
  #seal(): void {
    const { journal } = this.#options;
    const { isUrgent } = this.#batches;
    const nowMs = performance.now();
    const saving = nowMs - this.#savedAtMs >= saveEveryMs;
    this.#batches.seal(this.#folded, saving ? this.#statesToSave() : []);
    if (saving) {
      this.#touched = new Set();
      this.#savedAtMs = nowMs;
    }
    // Somebody waits for it: the journal need not wait for company. That it fails is told elsewhere.
    if (isUrgent && journal.durable() < this.#folded) journal.flush().catch(() => undefined);
  }

  /** Stores the batch in one transaction. Where the store refuses (disk full, say), nothing is lost: it is tried again, and rows wait meanwhile. */
  #store(batch: Committed): boolean {
    const { log, store } = this.#options;
    try {
      store.commit(batch);
    } catch (error) {
      if (this.#failure === undefined)
        log.error({ err: error }, 'the store does not take rows; trying again every second');
      this.#failure = error as Error;
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => this.#storeAgain(), retryMs);
      return false;
    }
    if (this.#failure !== undefined) log.info('the store takes rows again');
    this.#failure = undefined;
    this.#stored = batch.position;
    this.#storedAtMs = performance.now();
    return true;
  }

  #storeAgain(): void {
    this.#timer = undefined;
    this.#moveOn();
    if (this.#failure === undefined) this.#schedule();
  }

  /** Stores what is on disk, due or not. */
  #storeEverything(): void {
    this.#moveOn();
    if (this.#batches.sealed === undefined && this.#folded > this.#stored) this.#seal();
    this.#moveOn();
  }

  #show(effects: readonly Effect[]): void {
    const model = this.#running.model();
    // A plant file that has just come into force brings about nothing by itself, and yet is news.
    if (effects.length === 0 && model === this.#shownModel) return;
    this.#shownModel = model;
    this.#options.onEffects(effects, { model });
    this.#answer(effects);
  }

  #statesToSave(): SavedState[] {
    return statesUpTo(this.#folded, savedStates(this.#running.monitor(), this.#touched));
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

function patience(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms).unref());
}
