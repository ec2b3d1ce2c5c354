import { firstTables } from './0001-first-tables.js';
import type { Migration } from './migration.js';

/** Every step, in order, without gaps. */
export const allMigrations: readonly Migration[] = [firstTables];
