/** What one bounded piece of dropping did. */
export interface Dropped {
  readonly rows: number;
  /** Nothing is left to drop for now; false: call again. */
  readonly done: boolean;
}
