import type { Migration } from './migration.js';

/**
 * Roll-ups: a window of a series, by its number (start / length), at a resolution (1: 10 s, 2: 1 min, 3: 1 h). Instants are kept as ms after
 * the window's start, which takes one to four bytes instead of six. A window that is due was touched since it was rolled up, or never was; what
 * is there already counts as touched. `let_go` says up to where finer rows (0: as measured) have left a series for good.
 */
export const rollUps: Migration = {
  version: 3,
  sql: `
CREATE TABLE roll_up (
  series_id INTEGER NOT NULL,
  resolution INTEGER NOT NULL,
  window INTEGER NOT NULL,
  count INTEGER NOT NULL,
  last ANY NOT NULL,
  last_at INTEGER NOT NULL,
  low REAL,
  low_at INTEGER,
  high REAL,
  high_at INTEGER,
  mean REAL,
  PRIMARY KEY (series_id, resolution, window)
) STRICT, WITHOUT ROWID;

CREATE TABLE roll_up_due (
  resolution INTEGER NOT NULL,
  series_id INTEGER NOT NULL,
  window INTEGER NOT NULL,
  PRIMARY KEY (resolution, series_id, window)
) STRICT, WITHOUT ROWID;

CREATE TABLE let_go (
  series_id INTEGER NOT NULL,
  resolution INTEGER NOT NULL,
  before_ms INTEGER NOT NULL,
  PRIMARY KEY (series_id, resolution)
) STRICT, WITHOUT ROWID;

CREATE TABLE roll_up_replica (
  name TEXT PRIMARY KEY,
  seq INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE roll_up_log (
  seq INTEGER PRIMARY KEY,
  series_id INTEGER NOT NULL,
  resolution INTEGER NOT NULL,
  window INTEGER NOT NULL
) STRICT;

INSERT INTO roll_up_due SELECT DISTINCT 1, series_id, at_ms / 10000 FROM sample WHERE at_ms >= 0;
INSERT INTO roll_up_due SELECT DISTINCT 2, series_id, window / 6 FROM roll_up_due WHERE resolution = 1;
INSERT INTO roll_up_due SELECT DISTINCT 3, series_id, window / 60 FROM roll_up_due WHERE resolution = 2;
`,
};
