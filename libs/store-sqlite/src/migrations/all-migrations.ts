import { firstTables } from './0001-first-tables.js';
import { door } from './0002-door.js';
import { rollUps } from './0003-roll-ups.js';
import type { Migration } from './migration.js';

/** Every step, in order, without gaps. */
export const allMigrations: readonly Migration[] = [firstTables, door, rollUps];
