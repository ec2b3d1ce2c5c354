/** One step from the version before to `version` (the file's `user_version`). Published steps are never changed; a change is a new step. */
export interface Migration {
  readonly version: number;
  readonly sql: string;
}
